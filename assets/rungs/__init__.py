"""Tables of the rungs, and the scripts that make them."""
