"""Questions of practice that are no walk: short stories made from a kind and a seed."""
