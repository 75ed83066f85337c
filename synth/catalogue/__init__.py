"""The catalogue of a learner's own audio files: what was found of each, what a person set right, what waits."""
