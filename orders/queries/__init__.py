"""What is asked about orders and the post; each answer from few, fixed queries."""
