"""Questions that a learner asks, answered on the network in hand and never marked."""
