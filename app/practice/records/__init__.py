"""The learner's own records: the list, confirming a count by ear, and which one comes next in a drill."""
