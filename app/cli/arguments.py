"""Argument types shared by the commands, and one-line errors."""

import argparse
from typing import NoReturn

from synth.base.errors import Trouble

# Greatest number of digits that always fits in a signed 64-bit integer.
SEED_DIGITS = 18


class Parser(argparse.ArgumentParser):
    """A parser whose errors are ``Trouble``."""

    def error(self, message: str) -> NoReturn:
        """Raise ``Trouble`` instead of printing the usage."""
        raise Trouble(f"{message} (see {self.prog} --help)")


def seed_number(text: str) -> int:
    """Parse a seed: a whole number from 0 with at most ``SEED_DIGITS`` digits."""
    if not text.isdecimal() or len(text) > SEED_DIGITS:
        raise argparse.ArgumentTypeError(f"{text!r}: a whole number from 0 to {10**SEED_DIGITS - 1} expected")
    return int(text)


def tempo_bpm(text: str) -> float:
    """Parse a tempo in BPM, 40 to 240."""
    from synth.score.metre import check_tempo

    try:
        return check_tempo(float(text))
    except ValueError as slip:
        message = str(slip) if "tempo" in str(slip) else f"{text!r} is no tempo: beats a minute expected, such as 124"
        raise argparse.ArgumentTypeError(message) from slip
