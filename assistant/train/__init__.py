"""Training: a case on the simulated boat, and the score of whoever worked on it."""
