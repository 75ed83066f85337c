"""Bass and pads give way to the kick, and to nothing else."""

from dataclasses import replace

import numpy as np
import pytest

from synth.score.arranging.arrangement import arrange
from synth.score.grooves import groove, groove_files
from synth.score.manners import MANNERS, POP
from synth.sound.ducking import FALL_S, HOLD_S, RISE_S, Duck
from synth.sound.kit import Kit
from synth.sound.mix import Mix
from synth.sound.mixdown import Layer, mixdown, mixdown_blocks, mixdown_together

pytestmark = pytest.mark.sampled(3)

RATE = 48_000
KIT = Kit(1)


def gain_of(kicks_s: list[float], depth_db: float = 6.0, length_s: float = 2.0) -> np.ndarray:
    out = np.ones((round(length_s * RATE), 2), dtype=np.float32)
    Duck.of(np.round(np.array(kicks_s) * RATE).astype(np.int64), depth_db, RATE).apply(out, 0)
    assert np.array_equal(out[:, 0], out[:, 1])
    return out[:, 0]


def test_the_gain_is_down_from_the_kicks_first_frame_on_and_comes_back() -> None:
    gain = gain_of([1.0])
    kick = RATE
    np.testing.assert_allclose(gain[kick : kick + round(HOLD_S * RATE)], 10 ** (-6 / 20), rtol=0, atol=0.002)
    assert np.all(gain[: kick - round(FALL_S * RATE)] == 1)
    assert np.all(gain[kick + round((HOLD_S + RISE_S) * RATE) :] == 1)


@pytest.mark.parametrize("apart_s", [0.004, 0.0101, 0.03, 0.06, 0.1, 0.17, 0.195, 0.4])
def test_no_kick_makes_the_gain_jump(apart_s: float) -> None:
    """A step of 0.002 is what a fade of 10 ms over 6 dB takes at its steepest; kicks in a row never add up."""
    gain = gain_of([0.0, 0.5, *(1.0 + apart_s * at for at in range(4))], length_s=3.0)
    assert np.abs(np.diff(gain)).max() < 0.002
    assert gain.min() >= 10 ** (-6 / 20) - 1e-6
    for at in range(4):
        first = round((1.0 + apart_s * at) * RATE)
        assert gain[first] < 10 ** (-6 / 20) + 0.01


def test_pieces_of_the_gain_are_those_of_the_whole() -> None:
    duck = Duck.of(np.array([100, 5000, 5600, 30_000]), 5.0, RATE)
    whole = np.ones((40_000, 2), dtype=np.float32)
    duck.apply(whole, 0)
    for first in range(0, 40_000, 777):
        piece = np.ones((min(777, 40_000 - first), 2), dtype=np.float32)
        duck.apply(piece, first)
        np.testing.assert_array_equal(piece, whole[first : first + 777])


def test_only_bass_and_pad_give_way_and_onsets_stay() -> None:
    """A house record with and without: the drums and the other parts are the same to rounding."""
    record = arrange(groove("four-on-the-floor"), tempo_bpm=124, form="drop:8", seed=2, song=True)
    assert record.duck_db == 5.0
    ducking = record.only("kick", "bass", "pad").hits
    frames = 8 * RATE

    def heard(hits: object, duck_db: float) -> np.ndarray:
        return Mix.of(hits, KIT, duck_db=duck_db).frames(0, frames)  # type: ignore[arg-type]

    kick = heard(record.only("kick").hits, 5.0)
    np.testing.assert_array_equal(kick, heard(record.only("kick").hits, 0.0))
    plain, ducked = heard(record.only("bass", "pad").hits, 5.0), heard(ducking, 5.0) - kick
    gain = np.ones_like(plain)
    Duck.of(np.round(record.only("kick").hits.onset_s * RATE).astype(np.int64), 5.0, RATE).apply(gain, 0)
    np.testing.assert_allclose(ducked, plain * gain, atol=2e-6)
    others = tuple(name for name in record.hits.voices if name not in ("bass", "pad"))
    np.testing.assert_array_equal(heard(record.only(*others).hits, 5.0), heard(record.only(*others).hits, 0.0))


@pytest.mark.proof
def test_a_ducking_record_in_blocks_is_the_whole_and_two_records_duck_under_their_own_kick() -> None:
    record = arrange(groove("techno"), tempo_bpm=130, form="drop:8", seed=2, song=True)
    whole = mixdown(record, KIT)
    np.testing.assert_array_equal(np.concatenate(list(mixdown_blocks(record, KIT, block_s=0.7))), whole)
    other = replace(arrange(groove("four-on-the-floor"), tempo_bpm=124, form="drop:8", seed=3, song=True))
    mixes = [Mix.of(each.hits, KIT, by_s=by_s, duck_db=each.duck_db) for each, by_s in ((record, 0), (other, 0.3))]
    apart = sum(mix.frames(0, 6 * RATE) for mix in mixes)
    np.testing.assert_allclose(Mix.together(mixes).frames(0, 6 * RATE), apart, atol=2e-6)
    assert len(mixdown_together([Layer(record, KIT), Layer(other, KIT, 0.3)])) > len(whole)


def test_families_duck_by_three_to_six_db_or_not_at_all() -> None:
    manners = {id(each): each for each in (*MANNERS.values(), POP)}.values()
    assert {each.duck_db for each in manners} >= {0.0}
    assert all(each.duck_db == 0 or 3 <= each.duck_db <= 6 for each in manners)
    found = groove(next(iter(groove_files([]))), [])
    plain = arrange(found, tempo_bpm=found.usual_tempo_bpm, form="verse:4")
    np.testing.assert_array_equal(mixdown(plain, KIT), mixdown(replace(plain, duck_db=6.0), KIT))
