"""A procedure as those see it who write or revise it: what changed, its map, its preview."""
