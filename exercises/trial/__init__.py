"""A trial, its answer, its marks and the words for them."""
