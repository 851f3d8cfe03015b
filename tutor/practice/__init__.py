"""Lessons, tasks and questions made to order."""
