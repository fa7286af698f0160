"""Learning on the screen: what is due, the drill, practice, and how trainees stand."""
