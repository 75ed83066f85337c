"""What is said of a trial: verdicts on taps and presses, and plain sentences of where taps lie.

Here a sentence is chosen, and here stand those that drills share. What a drill says itself stands with the drill,
such as ``exercises/drills/one/words.py``.
"""
