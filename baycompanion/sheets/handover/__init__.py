"""The hand-over sheet that the owner goes home with, worked out from the record of a job."""
