"""Drill: the questions made from a procedure, and when each comes back."""
