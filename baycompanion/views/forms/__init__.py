"""The forms: what is asked of a person in a few questions, and the deed that comes of it."""
