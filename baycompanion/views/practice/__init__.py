"""What practice shows besides the cards of a job: what comes next, and how it ended."""
