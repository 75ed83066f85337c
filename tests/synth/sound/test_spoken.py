"""The spoken count: felt beats on the beat, words apart from each other."""

import csv
from itertools import product
from pathlib import Path

import numpy as np
import pytest
import soundfile

import assets
from synth.score.metre import Count, Metre, steady_count
from synth.sound.kit import Kit
from synth.sound.mixdown import mixdown
from synth.sound.spoken import GAP_S, HIGHEST, LANGUAGES, WAYS, recording, spoken_count, words
from tests.synth.sound.test_mixdown import record

RATE = 48_000


def said(count: Count, way: str, language: str = "en") -> list[tuple[float, str]]:
    """The words and the beats on which their P-centres fall, from the takes' identity."""
    names = {id(recording(word.file, RATE)): (name, word) for (name, _), word in words(language).items()}
    found = []
    for onset_s, take in spoken_count(count, way, language=language):
        name, word = names[id(take)]
        found.append((onset_s + word.p_centre_s, name))
    return found


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_p_centres_follow_marcus(language: str) -> None:
    """Marcus 1981, Percept. Psychophys. 30, 247-256 (formula from memory): 0.65 x + 0.25 y + k, one k for all words.

    That a word's beat is not its beginning: Morton, Marcus & Frankish 1976, Psychol. Rev. 83, 405-408.
    """
    with assets.path("counts", f"{LANGUAGES[language]}counts.csv").open(encoding="utf-8") as table:
        rows = list(csv.DictReader(table))
    onset, vowel, end, felt = (
        np.array([float(row[f"{name}_ms"]) for row in rows]) for name in ("onset", "vowel_onset", "end", "p_centre")
    )
    constant = felt - onset - 0.65 * (vowel - onset) - 0.25 * np.minimum(end - vowel, 300)
    assert np.ptp(constant) < 0.2
    assert np.mean(felt - vowel) == pytest.approx(0, abs=0.2)
    assert np.all((felt >= onset - 10) & (felt < end))
    assert np.ptp(felt) > 50


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_word_is_there_and_as_long_as_the_table_says(language: str) -> None:
    """1 to 32 and A to G at both paces, mono, below 1.5 MB in all."""
    assert set(words(language)) == {
        (name, pace) for name in [*map(str, range(1, HIGHEST + 1)), *"ABCDEFG"] for pace in ("even", "short")
    }
    total = 0
    for word in words(language).values():
        path = Path(assets.path("counts", word.file))
        info = soundfile.info(str(path))
        total += path.stat().st_size
        assert info.channels == 1
        assert word.p_centre_s < word.end_s <= info.duration
    assert total < 1.5e6


def test_both_ways_of_counting() -> None:
    """ "1 2 3 4, 2 2 3 4" and "1 A B C, 2 A B C", each word felt on its beat."""
    count = steady_count(100, [2], start_s=1.0)
    for way, names in (("bars", "1 2 3 4 2 2 3 4"), ("letters", "1 A B C 2 A B C")):
        spoken = said(count, way)
        assert [name for _, name in spoken] == names.split()
        np.testing.assert_allclose([beat_s for beat_s, _ in spoken], count.beats_s, atol=1e-9)


def test_bars_are_numbered_in_the_phrase() -> None:
    """The number on the one begins again with each phrase."""
    count = steady_count(80, [2, 2], start_s=1.0)
    assert [name for _, name in said(count, "letters") if name.isdecimal()] == ["1", "2", "1", "2"]


@pytest.mark.sweep(1)
@pytest.mark.parametrize("tempo_bpm", [40, 120, 149, 150, 174, 240])
def test_words_do_not_run_into_each_other(tempo_bpm: float, subtests: pytest.Subtests) -> None:
    """At any tempo a word has ended before the next begins, and no bar of 0.6 s or more loses its number."""
    for way, metre, language in product(WAYS, ["4/4", "3/4", "5/4", "6/8"], LANGUAGES):
        with subtests.test(way=way, metre=metre, language=language):
            count = steady_count(tempo_bpm, [16, 32], Metre.parse(metre), start_s=1.0)
            lengths = {id(recording(word.file, RATE)): word.end_s for word in words(language).values()}
            spoken = spoken_count(count, way, language=language)
            begin_s = np.array([onset_s for onset_s, _ in spoken])
            end_s = np.array([onset_s + lengths[id(take)] for onset_s, take in spoken])
            assert np.all(begin_s[1:] - end_s[:-1] >= GAP_S - 1e-9)
            felt_s = np.array([beat_s for beat_s, _ in said(count, way, language)])
            if np.diff(count.ones_s).min() >= 0.6:
                assert all(np.abs(felt_s - one_s).min() < 1e-9 for one_s in count.ones_s)


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("tempo_bpm", [100, 174])
def test_a_long_number_costs_no_beat(tempo_bpm: float, language: str) -> None:
    """Every beat of 32 bars has its word; at 174 BPM, a beat of 345 ms, the longest numbers are their last word."""
    count = steady_count(tempo_bpm, [32], start_s=1.0)
    spoken = said(count, "bars", language)
    np.testing.assert_allclose([beat_s for beat_s, _ in spoken], count.beats_s, atol=1e-9)
    numbers = [name for _, name in spoken[::4]]
    short = {bar: name for bar, name in enumerate(numbers, start=1) if name != str(bar)}
    long = {"en": [*range(21, 30)], "es": [24, 25, 27, 31]}[language] if tempo_bpm > 100 else []
    assert short == {bar: str(bar % 10) for bar in long}


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_one_of_a_phrase_is_clear(language: str) -> None:
    """At 174 BPM the first number of a phrase is the even recording, the others are short."""
    even = recording(words(language)["1", "even"].file, RATE)
    count = steady_count(174, [8, 8], start_s=1.0)
    spoken = spoken_count(count, "bars", language=language)
    beats = [at for at, (_, take) in enumerate(spoken) if take is even]
    assert beats == [0, 32]
    assert len(spoken) == 64


def test_the_paces_are_apart() -> None:
    """Short Spanish words up to fifteen last 0.2 s or little more: two in a beat of 250 ms less their P-centres."""
    for number in map(str, range(1, 16)):
        even, short = (words("es")[number, pace] for pace in ("even", "short"))
        assert short.end_s < 0.27
        assert even.end_s > 0.25


def test_a_pick_up_has_no_number() -> None:
    """Bar 0 is counted by its beats alone: one to four where it is whole."""
    whole = steady_count(90, [8], start_s=1.0)
    count = Count(
        *(whole.beats_s, whole.beat_in_bar, whole.bar_number - 5, whole.bar_in_phrase, whole.phrase_number),
        whole.end_s,
    ).excerpt(16)
    assert count.bar_number[0] == 0
    assert [name for _, name in said(count, "bars")][:5] == ["1", "2", "3", "4", "6"]
    assert [name for _, name in said(count.excerpt(1), "bars")][:4] == ["2", "3", "4", "6"]


@pytest.mark.proof
def test_the_voice_stays_below_the_drums() -> None:
    """The count adds to the sound, yet the drums stay louder (mean square of what it changes below theirs)."""
    arrangement, kit = record("four-on-the-floor", 120, "intro:4"), Kit(2)
    with_count = mixdown(arrangement, kit, spoken="bars")
    drums = mixdown(arrangement, kit)
    share = float(np.sum(with_count * drums, dtype=np.float64) / np.sum(drums * drums, dtype=np.float64))
    voice = with_count - share * drums
    assert 0.02 < np.square(voice).mean() / np.square(share * drums).mean() < 1


def test_another_way_of_counting_is_refused() -> None:
    """With the ways that there are."""
    with pytest.raises(ValueError, match="bars or letters"):
        spoken_count(steady_count(120, [1]), "numbers")
    with pytest.raises(ValueError, match="en or es"):
        spoken_count(steady_count(120, [1]), "bars", language="latin")
