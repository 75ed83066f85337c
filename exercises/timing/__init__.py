"""How taps and targets compare: matching, asynchrony, circular figures, tapping habits. Arrays in, figures out."""
