"""One job of an audit: its folder read, its rules asked, its facts gathered."""
