"""Floor 1: what a procedure file may say, loading it from text, checking it."""
