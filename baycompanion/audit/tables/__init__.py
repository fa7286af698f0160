"""The flat tables of an audit, and the questions across shops."""
