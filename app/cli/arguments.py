"""What several commands read from the command line, and how it complains."""

import argparse
from typing import NoReturn

from synth.base.errors import Trouble

# As many as always fit in 64 bits, signed.
SEED_DIGITS = 18


class Parser(argparse.ArgumentParser):
    """A parser whose complaints are one line, like every other trouble."""

    def error(self, message: str) -> NoReturn:
        """Raise ``Trouble`` instead of printing the usage."""
        raise Trouble(f"{message} (see {self.prog} --help)")


def seed_number(text: str) -> int:
    """A seed on the command line: a whole number from 0, of ``SEED_DIGITS`` digits at most."""
    if not text.isdecimal() or len(text) > SEED_DIGITS:
        raise argparse.ArgumentTypeError(f"{text!r}: a whole number from 0 to {10**SEED_DIGITS - 1} expected")
    return int(text)


def tempo_bpm(text: str) -> float:
    """A tempo on the command line: beats a minute, 40 to 240."""
    from synth.score.metre import check_tempo

    try:
        return check_tempo(float(text))
    except ValueError as slip:
        told = str(slip) if "tempo" in str(slip) else f"{text!r} is no tempo: beats a minute expected, such as 124"
        raise argparse.ArgumentTypeError(told) from slip
