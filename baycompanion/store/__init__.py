"""Floor 3: the only code that reads and writes files."""
