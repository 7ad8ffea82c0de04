"""Pages of orders and the post."""
