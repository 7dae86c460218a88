"""What would change the answer: for each figure, every value at which it turns."""
