"""Floor 4½: what an audit finds in shop folders, each finding a question with its evidence."""
