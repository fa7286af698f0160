"""Sheets of paper, worked out from procedures and jobs."""
