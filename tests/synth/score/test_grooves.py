"""Grooves: the files that ship, the reader, and its errors."""

import contextlib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from synth.base.errors import Trouble
from synth.score.grooves import Groove, groove, grooves, parse_groove
from synth.score.hits import SHARP_DRUMS
from tests.synth.score.pattern import hits_in_bar

SHIPPED = sorted(grooves())
TAB = """title: Trial piece
metre: 4/4
steps: 16
tempo: 100-120
kick on: 1 3
backbeat on: 2 4
kick  | X... .... x... .... |
snare | .... x..o .... x... | .... x... .... x..o |
"""


def places(pattern: Groove, bar: int, *drums: str) -> set[float]:
    """Beats of the bar, from 1, with a hit louder than a ghost note."""
    return {round(1 + at, 3) for at, drum, velocity in hits_in_bar(pattern, bar) if drum in drums and velocity > 0.5}


def test_a_tab_says_what_it_says() -> None:
    """Accent, hit, ghost and rest come out as velocities on their places, the shorter line starting over."""
    pattern = parse_groove(TAB, "piece")
    assert (pattern.title, pattern.bars, pattern.tempo_range_bpm) == ("Trial piece", 2, (100.0, 120.0))
    assert places(pattern, 0, "kick") == places(pattern, 1, "kick") == {1, 3}
    ghosts = [(at, velocity) for at, drum, velocity in hits_in_bar(pattern, 1) if drum == "snare"]
    assert ghosts == [(1.0, 0.78), (3.0, 0.78), (3.75, 0.35)]
    assert list(hits_in_bar(pattern, 0)) == list(hits_in_bar(pattern, 2))


def test_kick_and_backbeat_stand_where_the_file_says(subtests: pytest.Subtests) -> None:
    """Every shipped groove has its kick and its snare, clap or rim on the beats its header names, in every bar."""
    for name in SHIPPED:
        with subtests.test(name=name):
            pattern = grooves()[name]
            assert pattern.kick_on
            assert pattern.kick_on[0] == 1
            for bar in range(pattern.bars):
                assert set(pattern.kick_on) <= places(pattern, bar, "kick")
                assert set(pattern.backbeat_on) <= places(pattern, bar, *SHARP_DRUMS)


def test_the_one_can_be_told_from_the_three(subtests: pytest.Subtests) -> None:
    """No groove repeats after half a bar: started on any beat, it still says where the one is."""
    for name in SHIPPED:
        with subtests.test(name=name):
            pattern = grooves()[name]
            half = pattern.metre.beats_per_bar / 2
            loop_beats = pattern.bars * pattern.metre.beats_per_bar
            rows = {
                (round(bar * pattern.metre.beats_per_bar + at, 3), drum, velocity)
                for bar in range(pattern.bars)
                for at, drum, velocity in hits_in_bar(pattern, bar)
            }
            assert rows != {(round((at + half) % loop_beats, 3), drum, velocity) for at, drum, velocity in rows}


def test_kick_on_one_and_three_snare_on_two_and_four() -> None:
    """The standard rock beat: de Clercq 2016, Music Theory Online 22(3)."""
    pattern = groove("backbeat")
    assert (pattern.kick_on, pattern.backbeat_on) == ((1, 3), (2, 4))


def test_four_on_the_floor_and_half_time() -> None:
    """A kick on every beat; a backbeat on three alone (common practice)."""
    assert places(groove("four-on-the-floor"), 0, "kick") == {1, 2, 3, 4}
    half = groove("half-time")
    assert places(half, 0, "snare") == {3}


@given(swing=st.floats(50, 75), steps=st.sampled_from([8, 16, 24]))
def test_swing_is_the_share_of_the_pair(swing: float, steps: int) -> None:
    """The second step of every pair falls at the swing's share of the pair; the first stays (arithmetic)."""
    text = f"steps: {steps}\nswing: {swing:.3f} %\nclosed_hat | {'x' * steps} |"
    at = np.array([beats for beats, _, _ in hits_in_bar(parse_groove(text, "s"), 0)])
    pair = 2 * 4 / steps
    np.testing.assert_allclose(at[0::2], np.arange(steps // 2) * pair, atol=1e-12)
    np.testing.assert_allclose(at[1::2] - at[0::2], pair * round(swing, 3) / 100, atol=1e-9)


def test_triplet_swing_is_two_thirds() -> None:
    """Swing of 66.667 % puts the late eighth on the third triplet, 2/3 of the beat (common practice)."""
    pattern = parse_groove("steps: 8\nswing: 66.667 %\nride | xxxxxxxx |", "s")
    assert [at for at, _, _ in hits_in_bar(pattern, 0)][1] == pytest.approx(2 / 3, abs=1e-4)


ERRORS = [
    ("kick | x... x... x... x.. |", "2:27", "15 steps"),
    ("kick | x... x..y x... x... |", "2:16", "'y'"),
    ("snair | x... x... x... x... |", "2:1", "snare"),
    ("kick | x... x... x... x...", "2:26", "ends with |"),
    ("temp: 120", "2:1", "tempo"),
    ("tempo: 20-300", "2:8", "40"),
    ("metre: 4/5", "2:8", "lower figure"),
    ("swing: 80 %", "2:8", "75"),
    ("steps: 15", "2:8", "multiple"),
    ("kick on: 1 5", "2:12", "'5'"),
    ("shift kick: 8", "2:13", "ms"),
    ("shift kick: +80 ms", "2:13", "40"),
    ("boom", "2:1", "neither"),
    ("rim | x... .... .... .... |", "2:1", "twice"),
    ("backbeat on: 3", "2:14", "on 3 in bar 1"),
]


def test_an_error_tells_line_and_column(subtests: pytest.Subtests) -> None:
    """Whatever is wrong, the message begins with file:line:column and says what was expected."""
    for line, place, part in ERRORS:
        with subtests.test(line=line, place=place, part=part):
            with pytest.raises(Trouble) as trouble:
                parse_groove(f"rim | x... .... .... .... | # a remark\n{line}", "mine")
            assert str(trouble.value).startswith(f"mine.groove:{place}: ")
            assert part in str(trouble.value)
            assert "\n" not in str(trouble.value)


@pytest.mark.proof
@given(
    st.one_of(
        # All that UTF-8 can write, named by the category it cannot: see tests/app/test_settings.py.
        st.text(st.characters(exclude_categories=["Cs"]), max_size=300),
        st.lists(st.sampled_from([*TAB.split("\n"), "kick", "|", ":", "x..."])),
    )
)
def test_no_text_breaks_the_reader(text: str | list[str]) -> None:
    """Any text is a groove or a Trouble of one line, never another error."""
    text = text if isinstance(text, str) else "\n".join(text)
    with contextlib.suppress(Trouble):
        assert parse_groove(text, "any").lines


def test_a_file_in_the_users_folder_appears(tmp_path: Path) -> None:
    """A user's groove is listed beside the shipped ones and may replace one of them."""
    (tmp_path / "mine.groove").write_text(TAB)
    (tmp_path / "backbeat.groove").write_text(TAB)
    assert set(grooves([tmp_path])) == {*SHIPPED, "mine"}
    assert groove("backbeat", [tmp_path]).title == "Trial piece"


def test_a_broken_file_spoils_only_itself(tmp_path: Path) -> None:
    """A user's broken groove is told with its place; the others still play."""
    (tmp_path / "mine.groove").write_text("kick | x |")
    (tmp_path / "bytes.groove").write_bytes(b"\xff\xfe\x00kick")
    broken: list[Trouble] = []
    assert set(grooves([tmp_path], broken)) == set(SHIPPED)
    assert {Path(str(trouble).split(":")[0].split(",")[0]).name for trouble in broken} == {
        "mine.groove",
        "bytes.groove",
    }
    assert groove("backbeat", [tmp_path]).name == "backbeat"
    with pytest.raises(Trouble, match=r"^mine\.groove:1:"):
        groove("mine", [tmp_path])


def test_an_unknown_groove_offers_the_near_ones() -> None:
    """A mistyped name is answered with the names nearest to it."""
    with pytest.raises(Trouble, match="Did you mean backbeat"):
        groove("bakbeat")
