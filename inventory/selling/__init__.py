"""What sells, what was merely out, what to try, make, clear; where the cash sleeps."""
