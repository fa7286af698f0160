"""Whether the files of a shop still say what they said."""
