"""The card: the one thing to do now, its lines and keys, and what stands around it."""
