"""The learner who practises: what is kept of their trials, and the levels that follow."""
