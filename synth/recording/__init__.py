"""A learner's own audio files: read in blocks, and the grid of their beats found or refused."""
