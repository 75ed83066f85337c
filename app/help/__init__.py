"""What the help shows and lets hear."""
