"""Practice: the made-up vehicle, what is planted in it, and what came of it."""
