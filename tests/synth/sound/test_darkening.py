"""A filter sweep takes the treble away towards its turn, leaves the voice alone, and is the same in every piece."""

import numpy as np
import pytest

from synth.score.arranging.arrangement import arrange
from synth.score.grooves import groove
from synth.score.hits import FILTER
from synth.sound.darkening import darken, reach
from synth.sound.kit import Kit
from synth.sound.mix import Mix
from synth.sound.spoken import spoken_count

RATE = 48_000
KIT = Kit(1)


@pytest.fixture(scope="module")
def swept():
    """A record with a filter sweep, and the same without."""
    for seed in range(40):
        made = arrange(groove("techno", []), tempo_bpm=130, form="verse:16", seed=seed, song=True)
        if len(made.hits.only(FILTER)) == 1:
            filtered = made.hits.only(FILTER)
            plain = made.hits.where(made.hits.voice != made.hits.voices.index(FILTER))
            return made, plain, float(filtered.onset_s[0]), float(filtered.onset_s[0] + filtered.duration_s[0])
    raise AssertionError("no sweep was drawn")


def treble_db(sound):
    """Share of the energy above 2 kHz."""
    power = np.abs(np.fft.rfft(sound.mean(axis=1))) ** 2
    hz = np.fft.rfftfreq(len(sound), 1 / RATE)
    return 10 * np.log10(power[hz > 2000].sum() / power.sum())


def test_the_treble_goes_until_the_turn_and_comes_back_on_it(swept):
    made, plain, begin_s, end_s = swept
    assert np.abs(made.count.phrase_starts_s - end_s).min() < 1e-6
    frames = int(made.count.end_s * RATE)
    dark, dry = (Mix.of(hits, KIT).frames(0, frames) for hits in (made.hits, plain))
    begin, end, beat = int(begin_s * RATE), int(end_s * RATE), int(RATE * 60 / 130)
    np.testing.assert_allclose(dark[:begin], dry[:begin], atol=1e-6)
    np.testing.assert_allclose(dark[end:], dry[end:], atol=1e-6)
    last = slice(end - beat, end - RATE // 100)
    assert treble_db(dark[last]) < treble_db(dry[last]) - 12
    low = [np.abs(np.fft.rfft(sound[last].mean(axis=1))[: round(120 * beat / RATE)]) ** 2 for sound in (dark, dry)]
    assert abs(10 * np.log10(low[0].sum() / low[1].sum())) < 1.5  # the kick stays
    thirds = [slice(begin + k * (end - begin) // 3, begin + (k + 1) * (end - begin) // 3) for k in range(3)]
    lost = [treble_db(dry[part]) - treble_db(dark[part]) for part in thirds]
    assert lost == sorted(lost)


@pytest.mark.proof
def test_pieces_are_those_of_the_whole(swept):
    made, _, begin_s, _ = swept
    mix = Mix.of(made.hits, KIT)
    whole = mix.frames(0, int(made.count.end_s * RATE))
    for first in (int(begin_s * RATE) - 7, int(begin_s * RATE) + 12_345):
        assert np.array_equal(mix.frames(first, first + 20_000), whole[first : first + 20_000])


def test_the_voice_stays_clear_and_the_other_record_too(swept):
    made, plain, begin_s, end_s = swept
    words = spoken_count(made.count, "bars")
    first, last = int(begin_s * RATE), int(end_s * RATE)
    alone, dark = (Mix.of(made.hits, KIT, spoken).frames(first, last) for spoken in (words, ()))
    spoken = Mix.of(made.hits.only(), KIT, words).frames(first, last)
    np.testing.assert_allclose(alone, dark + spoken, atol=1e-5)
    both = Mix.together([Mix.of(made.hits, KIT), Mix.of(plain, KIT)]).frames(first, last)
    np.testing.assert_allclose(both, dark + Mix.of(plain, KIT).frames(first, last), atol=1e-5)


@pytest.mark.parametrize("rate", [8_000, 44_100, 48_000, 96_000])
def test_it_adds_no_peak_and_no_delay(rate):
    """Noise and one click: no louder than before, and symmetrical around the click."""
    rng = np.random.default_rng(1)
    noise = rng.uniform(-1, 1, (rate, 2)).astype(np.float32)
    click = np.zeros((rate, 2), dtype=np.float32)
    click[round(0.9 * rate)] = 1
    for sound in (noise, click):
        darken(sound, 0, 0, rate, rate)
        assert np.abs(sound).max() <= 1
    around = click[round(0.9 * rate) - reach(rate) : round(0.9 * rate) + reach(rate) + 1, 0]
    assert around.argmax() == reach(rate)
    np.testing.assert_allclose(around, around[::-1], atol=0.02)
