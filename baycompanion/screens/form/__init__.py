"""A form on the screen: a few questions, one below the other."""
