"""The learner's level, placement, and today's plan."""
