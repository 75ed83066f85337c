"""What the logbook tells of weeks: trends, mistakes, summaries."""
