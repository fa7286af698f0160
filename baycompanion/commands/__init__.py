"""Floor 6: what comes of each command; the screens are imported only where they are shown."""
