"""What a terminal sends, on its way to the screen in front: keys, codes, pastes, lines of text."""
