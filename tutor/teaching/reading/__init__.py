"""What one line says: the kind of act, what it claims, whether that is so here, whether enough."""
