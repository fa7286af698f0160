"""The job line by line, in reading order, for a screen reader or a simple terminal."""
