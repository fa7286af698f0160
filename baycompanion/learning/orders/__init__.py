"""Which orders of its steps a procedure allows."""
