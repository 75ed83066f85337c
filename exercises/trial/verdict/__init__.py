"""What is said of a trial: verdicts on taps and presses, and plain sentences of where taps lie."""
