"""The lessons that come with Platewalk, a file each; tutor/practice/library.py finds them here."""
