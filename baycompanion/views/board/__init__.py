"""The bay board in words: the lines of its jobs, when each is ready, how an ended one is found."""
