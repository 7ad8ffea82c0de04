"""Forms of the goods room: they read what was typed, and never write."""
