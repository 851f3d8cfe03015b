"""What is around the learner's half: a class and its scripts, its pictures, sheets and sessions."""
