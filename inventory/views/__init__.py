"""Pages of the goods room."""
