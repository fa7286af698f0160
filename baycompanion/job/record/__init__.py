"""The job record: what it holds, and how it is made from the events of a job."""
