"""The spoken count: recorded words whose P-centres fall on the beats."""

import csv
from dataclasses import dataclass
from functools import lru_cache
from math import gcd

import numpy as np

import assets
from synth.base.arrays import Samples
from synth.score.metre import Count
from synth.sound.kit import Take, take_at

WAYS = ("bars", "letters")
# Languages of the voice, and the folder of each.
LANGUAGES = {"en": "", "es": "es/"}
LETTERS = "ABCDEFG"
HIGHEST = 32  # number of the last bar before the numbers start over
LEVEL_DB = -3.0  # relative to the snare's 0 dB: intelligible, but under the drums
LOST_S = 0.05
GAP_S = 0.03  # seconds between two words
SHORT_FROM_BPM = 150.0
# Numbers of two words, or grown together from two, which may be shortened to the second.
LONG = {"en": {str(number) for number in (*range(21, 30), 31, 32)}}
LONG["es"] = LONG["en"] | {"16", "17", "18", "19"}


@dataclass(frozen=True, slots=True)
class Word:
    """A recording: seconds from its first frame to its P-centre (perceived beat) and to its end."""

    file: str
    p_centre_s: float
    end_s: float

    def end_after(self, beat_s: float) -> float:
        """End of the word in seconds if its P-centre is at ``beat_s``."""
        return beat_s - self.p_centre_s + self.end_s


@lru_cache(maxsize=len(LANGUAGES))
def words(language: str = "en") -> dict[tuple[str, str], Word]:
    """A language's recordings by name ("7", "B") and pace ("even", "short"); ``ValueError`` where it has none."""
    if language not in LANGUAGES:
        raise ValueError(f"language {language!r} of the voice: {' or '.join(LANGUAGES)} expected")
    folder = LANGUAGES[language]
    with assets.path("counts", f"{folder}counts.csv").open(encoding="utf-8", newline="") as table:
        return {
            (row["file"].partition("-")[0].lstrip("0"), row["pace"]): Word(
                f"{folder}{row['file']}", float(row["p_centre_ms"]) / 1000, float(row["end_ms"]) / 1000
            )
            for row in csv.DictReader(table)
        }


@lru_cache(maxsize=256)
def recording(file: str, sample_rate_hz: int) -> Take:
    """A recording at the given sample rate, at ``LEVEL_DB``."""
    import soundfile  # imported here: takes 25 ms of the window's start

    sound, rate = soundfile.read(str(assets.path("counts", file)), dtype="float32")
    mono = _at_rate(sound, rate, sample_rate_hz)
    return take_at(mono, LEVEL_DB, sample_rate_hz)


def _at_rate(sound: Samples, rate: int, wanted: int) -> Samples:
    """Resample ``sound`` (frames,) in the frequency domain: exact, as recordings begin and end in silence."""
    down, up = rate // gcd(rate, wanted), wanted // gcd(rate, wanted)
    pieces = -(-(len(sound) + 64) // down)
    resampled = np.fft.irfft(np.fft.rfft(sound, pieces * down), pieces * up) * (up / down)
    return np.asarray(resampled[: len(sound) * up // down], dtype=np.float32)


def spoken_count(
    count: Count, way: str, *, language: str = "en", sample_rate_hz: int = 48_000
) -> list[tuple[float, Take]]:
    """Words of a count with their onsets in seconds, each P-centre on its beat.

    ``way`` is "bars" ("1 2 3 4, 2 2 3 4, ...") or "letters" ("1 A B C, 2 A B C, ..."). The word on beat one is the
    bar's number in its phrase, up to 32, and "1" in a whole bar 0.

    Words never overlap: short recordings are used from 150 BPM on, but for the first number of a phrase, and wherever
    the even ones are too long. A long number without room becomes its last word ("dieciséis" at 200 BPM: "seis");
    another word without room is dropped, except the number of a bar of 0.6 s or more. At frame 0 a word may lose its
    first 50 ms.
    ``ValueError`` for another ``way`` or ``language``.
    """
    if way not in WAYS:
        raise ValueError(f"way of counting {way!r}: {' or '.join(WAYS)} expected")
    names, known = _names(count, way), words(language)
    times_s = np.append(count.beats_s, count.end_s).tolist()
    spoken: list[tuple[float, Take]] = []
    free_s = -LOST_S  # end of the last word
    for row, beat_s in enumerate(times_s[:-1]):
        # Latest start of the next word; the last word may ring on.
        follower = known.get((names[row + 1], "short")) if row + 1 < len(names) else None
        until_s = times_s[row + 1] - (follower.p_centre_s if follower else -1.0) - GAP_S
        slow = 60 / (times_s[row + 1] - beat_s) < SHORT_FROM_BPM
        first = names[row] == "1" and count.beat_in_bar[row] == 1  # of a phrase: clear wherever there is room
        paces = ("even", "short") if slow or first else ("short",)
        fits = [word for pace in paces if (word := known.get((names[row], pace)))]
        if count.beat_in_bar[row] == 1 and names[row] in LONG[language]:
            fits.append(known[names[row][-1], "short"])
        fits = [word for word in fits if beat_s - word.p_centre_s >= free_s]
        roomy = [word for word in fits if word.end_after(beat_s) <= until_s]
        if not roomy and (not fits or count.beat_in_bar[row] != 1):
            continue
        word = roomy[0] if roomy else fits[-1]
        spoken.append((beat_s - word.p_centre_s, recording(word.file, sample_rate_hz)))
        free_s = word.end_after(beat_s) + GAP_S
    return spoken


def _names(count: Count, way: str) -> list[str]:
    """Word on every beat; empty where there is none."""
    names = []
    for bar, number, beat in zip(
        count.bar_in_phrase.tolist(), count.bar_number.tolist(), count.beat_in_bar.tolist(), strict=True
    ):
        if beat == 1:
            names.append(str((bar - 1) % HIGHEST + 1) if number > 0 else "1")
        elif way == "letters":
            names.append(LETTERS[beat - 2] if beat - 2 < len(LETTERS) else "")
        else:
            names.append(str(beat))
    return names
