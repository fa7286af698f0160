"""What has happened in a job: the kinds of event, what each carries, and what ties them."""
