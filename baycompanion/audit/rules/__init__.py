"""What an audit asks about the work: a module for each kind of question."""
