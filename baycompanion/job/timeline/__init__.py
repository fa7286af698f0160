"""The timeline of a job: where its hours went, and what happened when."""
