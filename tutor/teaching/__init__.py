"""What is asked, how an answer is judged, and what is said about it."""
