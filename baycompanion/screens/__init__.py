"""Floor 5: the Textual screens; they show and ask, they never compute."""
