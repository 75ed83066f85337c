"""Trends, mistakes and summaries of weeks of practice."""
