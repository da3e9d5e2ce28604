"""What is written down: readings, compliances and the due state that follows from them."""
