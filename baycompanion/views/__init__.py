"""Floor 4: what screens show and ask, as plain values; pure functions of procedure and state."""
