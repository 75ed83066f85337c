"""What the command `demo` ships: simulated learners, invented weeks, pictures."""
