"""Floor 5: a chain of invented shops with known plants, so that an audit can be held to account."""
