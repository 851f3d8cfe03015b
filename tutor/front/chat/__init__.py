"""The chat around the walks: stages, and who answers a line in which; no input, no output."""
