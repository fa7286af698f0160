"""Connectors, and which lead joins which: by function and colour, with what is never joined."""
