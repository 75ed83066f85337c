"""The page on which drills are chosen freely."""
