"""Argument types shared by the commands, and one-line errors."""

import argparse
from collections.abc import Callable
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


def whole(least: int, most: int = 10_000) -> Callable[[str], int]:
    """A parser of whole numbers from ``least`` to ``most``."""

    def parse(text: str) -> int:
        if not text.isdecimal() or len(text) > SEED_DIGITS or not least <= int(text) <= most:
            raise argparse.ArgumentTypeError(f"{text!r}: a whole number from {least} to {most} expected")
        return int(text)

    return parse


def drum_notes(text: str) -> dict[int, str | None]:
    """Parse ``"60=kick,62=none"``: drums of MIDI notes, None for a note that is left out."""
    from synth.base.errors import near
    from synth.score.hits import DRUMS

    found: dict[int, str | None] = {}
    for part in text.split(","):
        note, _, drum = (word.strip() for word in part.partition("="))
        if not note.isdecimal() or len(note) > 3 or int(note) > 127:
            raise argparse.ArgumentTypeError(f"{part.strip()!r}: a note from 0 to 127 and its drum expected: 60=kick")
        if drum not in (*DRUMS, "none"):
            raise argparse.ArgumentTypeError(f"{drum!r} is no drum: {', '.join(DRUMS)} or none.{near(drum, DRUMS)}")
        found[int(note)] = None if drum == "none" else drum
    return found
