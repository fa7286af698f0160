"""The timeline of a job on the screen and in lines: its axis, its drawing, its words."""
