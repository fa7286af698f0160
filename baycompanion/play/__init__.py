"""Floor 5: a whole job played from a script, through the same core and store, without screens."""
