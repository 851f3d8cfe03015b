"""Sheets and papers in print: problems to be solved by hand, and the keys to them."""
