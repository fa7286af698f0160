"""How an audit comes by the facts of all jobs: read anew, or kept."""
