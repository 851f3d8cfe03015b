"""Free working marked line by line, with errors carried forward; and the fair copy."""
