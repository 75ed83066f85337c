"""What the command `demo` ships: simulated and invented learners, pictures."""
