"""Thin shells around the dialogue: commands, terminal, pipe, paper."""
