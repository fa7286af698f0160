"""What a person may do in a job, and what follows: an action gives events, or a refusal."""
