"""Guided sessions: a class predicts, the spread is seen by whoever leads, then all is told."""
