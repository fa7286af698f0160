"""What a job has come to: its events folded into a state, and what is worked out from that."""
