"""A job on the screen: the card, the sequence beside it, and what its menu opens."""
