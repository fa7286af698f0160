"""The bay board on the screen, and what it reads once it stands."""
