"""What entries do to the state."""
