"""Where a learner stands and what comes next: level, placement, plan."""
