"""What the program knows of one learner: a record of answers, and what follows from them."""
