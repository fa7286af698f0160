"""The preview of a procedure on the screen, while it is written."""
