"""Floor 0: text from outside, made safe and read with its position; imports nothing of ours."""
