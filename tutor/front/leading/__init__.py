"""``platewalk lead``: the terminal of whoever leads, the projector, and the page of a class."""
