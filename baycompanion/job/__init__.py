"""Floor 2: a job as a list of events, and everything that is worked out from it."""
