"""What several commands read from the command line, and how it complains."""

import argparse
from typing import NoReturn

from synth.errors import Trouble


class Parser(argparse.ArgumentParser):
    """A parser whose complaints are one line, like every other trouble."""

    def error(self, message: str) -> NoReturn:
        """Raise ``Trouble`` instead of printing the usage."""
        raise Trouble(f"{message} (see {self.prog} --help)")


def seed_number(text: str) -> int:
    """A seed on the command line: a whole number from 0."""
    if not text.isdecimal() or len(text) > 18:
        raise argparse.ArgumentTypeError(f"{text!r}: a whole number from 0 expected")
    return int(text)


def tempo_bpm(text: str) -> float:
    """A tempo on the command line: beats a minute, 40 to 240."""
    from synth.metre import check_tempo

    try:
        return check_tempo(float(text))
    except ValueError as slip:
        told = str(slip) if "tempo" in str(slip) else f"{text!r} is no tempo: beats a minute expected, such as 124"
        raise argparse.ArgumentTypeError(told) from slip
