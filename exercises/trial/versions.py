"""Versions of trials and of their marking."""

# Version of trial generation: increment when the same drill, rung and seed give another trial. Not for marking:
# stored trials of any version are marked again from their own truth (``exercises.logbook.old_trials.remark``).
VERSION = 5

# Version of marking: increment when stored trials marked again would have other results. The learner is told once.
MARKING = 3
