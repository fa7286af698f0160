"""A terminal companion for the mobile-electronics bay."""

__version__ = "0.1.0"
