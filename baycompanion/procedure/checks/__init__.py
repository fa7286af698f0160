"""What `check` finds in a procedure that fits its models: a module for each kind of thing."""
