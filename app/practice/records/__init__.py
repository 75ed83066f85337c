"""The learner's own records: which one comes next in a drill."""
