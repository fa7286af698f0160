"""A practice at work, whoever shows it: how it begins, acts, asks what comes next, and ends."""
