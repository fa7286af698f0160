"""Looking back on the screen: the review of findings, and the times of phases."""
