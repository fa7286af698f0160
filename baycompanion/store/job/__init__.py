"""A job on the disk: its folder, its journal, its lock, and how one is found."""
