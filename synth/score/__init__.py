"""Symbolic music before synthesis: metre, grooves, forms, arrangements and their ground truth."""
