"""The best whole-number mix of sets, sheets and sessions under every limit at once."""
