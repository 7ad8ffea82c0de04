"""Reads that cross tables; import the module that answers the question."""
