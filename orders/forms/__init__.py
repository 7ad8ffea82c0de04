"""Forms of orders: what was typed becomes exact values, and nothing is written."""
