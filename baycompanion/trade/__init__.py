"""Floor 0: the sums of the trade, pure and sourced; imports nothing of ours."""
