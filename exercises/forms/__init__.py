"""The forms from which drills are made, and the rows of their rungs."""
