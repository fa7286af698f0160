"""Floor 0: what a shop's own figures say: shares, spreads, signals; imports nothing of ours."""
