"""The help screen, its pages and its sounds."""
