"""Wrong rules beside the right one: each is a small record, run on the very same step."""
