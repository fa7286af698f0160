"""What the board of a shop knows, whoever shows it: its lines, what is due, what is found."""
