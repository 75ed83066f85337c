"""Pictures of a count: each widget holds plain values and redraws from them."""
