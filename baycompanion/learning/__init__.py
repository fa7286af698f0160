"""Learning a procedure: questions made from it, vehicles made up for practice, what fades."""
