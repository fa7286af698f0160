"""What a supervisor looks at after an audit, finding by finding."""
