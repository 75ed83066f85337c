"""Broken files: a sample of the fuzz in ``./run bench --only fuzz``, which reads many more of them."""

from collections import Counter
from pathlib import Path

import pytest

from synth.base.errors import Trouble
from synth.midi.reading import midi_arrangement
from synth.score.grooves import parse_groove, read_groove
from tests.hostile.music import LONGEST_LINE, heavy_grooves, heavy_midi, mutated, read


@pytest.mark.proof
def test_a_mutated_file_gives_a_result_or_one_line(tmp_path: Path) -> None:
    """800 changed grooves and MIDI files: never an error that is not for a person, and both outcomes come up.

    An error in one of a hundred of either kind is found with probability 0.98; the benchmark reads thousands.
    """
    outcomes = Counter(
        (number % 2, read(mutated(number, seed=7), tmp_path / "mutated.mid")[0]) for number in range(800)
    )
    assert len(outcomes) == 4
    assert min(outcomes.values()) > 30


def test_the_same_number_is_the_same_file() -> None:
    """A file that the fuzz reports can be made again from its seed and number."""
    assert [mutated(number, 3) for number in range(4)] == [mutated(number, 3) for number in range(4)]
    assert mutated(1, 3) != mutated(1, 4)


def test_a_file_of_a_megabyte_is_refused_before_it_is_read(tmp_path: Path) -> None:
    """Size and limit are named, in one line."""
    path = tmp_path / "large.mid"
    path.write_bytes(heavy_midi(1_000_000)["notes"])
    with pytest.raises(Trouble, match=r"large\.mid: .*too large: 1000000 bytes, at most 120000"):
        midi_arrangement(path)
    tab = tmp_path / "large.groove"
    tab.write_text(heavy_grooves(1_000_000)["remarks"])
    with pytest.raises(Trouble, match="too large"):
        read_groove(tab)


@pytest.mark.parametrize("name", ["one word", "digits", "signs", "bars", "one bar"])
def test_an_error_does_not_repeat_a_long_text(name: str) -> None:
    """Whatever stands in the file, the line that tells of it stays short and begins with its place."""
    with pytest.raises(Trouble, match=r"^long\.groove:1:\d+: ") as trouble:
        parse_groove(heavy_grooves(90_000)[name], "long")
    assert len(str(trouble.value)) <= LONGEST_LINE


@pytest.mark.parametrize("sign", ["\r", "\x0b", "\x1e", "\x85", "\u2028"])
def test_an_error_stays_one_line_whatever_the_file_holds(sign: str) -> None:
    """Signs that break a line are not repeated as such."""
    with pytest.raises(Trouble) as trouble:
        parse_groove(f"tempo: 1{sign}2\nkick | X............... |", "odd")
    assert len(str(trouble.value).splitlines()) == 1
