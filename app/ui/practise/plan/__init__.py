"""The page of today's plan."""
