"""The staff of a shop on the disk: who works here, their PINs, and what they are released for."""
