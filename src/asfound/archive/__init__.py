"""Git storage of records."""
