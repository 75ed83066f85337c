"""What others hear in our records: librosa's onsets and tempo, and the same MIDI file played by FluidSynth.

Onsets and tempo: a record of eight bars of every groove at five tempos over its range, librosa 0.11's `onset_detect`
in frames of 256 samples (5.3 ms) with a window of 1024. An onset counts as heard if one is found within a frame of it
after one constant for all records, the detector's own lag. Hits less than 30 ms apart are one onset; those of ghost
notes, which louder drums may hide, are counted only in the share of all.

Tempo: `feature.tempo` of the median onset strength, as `beat_track` returns it; it leans towards 120 a minute. Where
it hears another one than the felt beat, the ratio must be one of ``EXPLANATIONS``, and a quarter of the hits at least
must recur in that tempo, drum for drum.

FluidSynth: the drums whose sound begins at once, one by one, written to MIDI and played with pretty_midi 0.2.11's
sound font. In both sounds the onset of a hit is the first place within 30 ms of its time where the energy of the next
millisecond (of the first difference, which leaves out the kick's swing) exceeds that of the last four as much as
anywhere there, or half as much: a clap is several claps. FluidSynth begins notes in steps of 64 samples, 1.3 ms;
that and the attacks of the font's samples are what remains after one constant.
"""

import functools
import io
import warnings
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any
from unittest import mock

import numpy as np
import numpy.typing as npt

from synth.midi.writing import midi_bytes
from synth.score.arranging.arrangement import Arrangement, arrange
from synth.score.grooves import Groove, grooves
from synth.sound.kit import Kit
from synth.sound.mixdown import mixdown

RATE = 48_000
FRAME = 256
FRAME_S = FRAME / RATE
TEMPOS = 5
APART_S = 0.03
GHOST = 0.5
# The sound font's other drums swell (shaker, tambourine, pedal hat) or are long.
SHORT_DRUMS = ("kick", "snare", "clap", "rim", "closed_hat", "conga", "cowbell")
REACH_S = 0.03
LEAD_S = 0.1

# What a tempo may be mistaken for, as a multiple of the felt beat's, and what sounds in that tempo.
EXPLANATIONS = {
    2.0: "double, the eighths",
    0.5: "half, every second beat: nearer to 120",
    3.0: "triple, the eighths of 6/8",
    1.5: "two eighths of 6/8, across its felt beat",
    4 / 3: "three sixteenths, across the beat",
    2 / 3: "three eighths, across the beat",
    0.8: "five sixteenths, from snare to ghost note",
}
TOLERANCE = 0.04
RECURRING = 0.25

Seconds = npt.NDArray[np.float64]


def _as_written(*_: Any, **more: Any) -> Callable[..., Any]:
    """Instead of a decorator of numba's: leaves a function as it is."""
    return lambda function: function


@functools.cache
def librosa() -> Any:
    """The module librosa, run by Python alone: to compile what is called here takes longer than all calls of it."""
    import numba

    with mock.patch.multiple(numba, **dict.fromkeys(("guvectorize", "jit", "vectorize"), _as_written)):
        import librosa
        import librosa.feature
        import librosa.onset
    return librosa


@dataclass(frozen=True, slots=True, eq=False)
class Heard:
    """One record as librosa hears it.

    ``late_s`` (n,) how long after each scheduled onset the nearest found one comes; ``loud`` (n,) whether it is more
    than a ghost note; ``ratio`` the found tempo over that of the felt beat; ``again`` the share of hits after which
    the same drum is struck once more a found beat later.
    """

    groove: str
    tempo_bpm: float
    late_s: Seconds
    loud: npt.NDArray[np.bool_]
    ratio: float
    again: float

    @property
    def mistaken_for(self) -> float | None:
        """The multiple of the felt tempo that was found: 1, one of ``EXPLANATIONS``, or None where there is none."""
        near = min((1.0, *EXPLANATIONS), key=lambda ratio: abs(self.ratio / ratio - 1))
        return near if abs(self.ratio / near - 1) <= TOLERANCE else None

    @property
    def explained(self) -> bool:
        """Whether the tempo is the felt one, or another of the metre or pattern in which enough of the hits recur."""
        return self.mistaken_for == 1 or (self.mistaken_for is not None and self.again >= RECURRING)


def tempos_bpm(groove: Groove) -> list[float]:
    """Five tempos over the groove's range, in whole beats a minute."""
    return [float(round(tempo)) for tempo in np.linspace(*groove.tempo_range_bpm, TEMPOS)]


def heard_bpm(sound: npt.NDArray[np.float64]) -> float:
    """The tempo of a sound, (frames,) at 48 kHz, as librosa's `beat_track` returns it."""
    strength = librosa().onset.onset_strength(y=sound, sr=RATE, aggregate=np.median)
    return float(librosa().feature.tempo(onset_envelope=strength, sr=RATE)[0])


def hear(groove: Groove, tempo_bpm: float, seed: int, kit: Kit) -> Heard:
    """Make a record and have librosa listen to it."""
    record = arrange(groove, tempo_bpm=tempo_bpm, form="intro:4,verse:4", seed=seed)
    # A second of silence first: librosa reports no onset in a sound's first frames.
    sound = np.pad(mixdown(record, kit).mean(axis=1), (RATE, 0))
    strength = librosa().onset.onset_strength(y=sound, sr=RATE, hop_length=FRAME, n_fft=1024)
    found_s = librosa().onset.onset_detect(
        onset_envelope=strength, sr=RATE, hop_length=FRAME, units="time", delta=0.02, wait=1
    )
    hits = record.hits
    first = np.append(True, np.diff(hits.onset_s) > APART_S)
    wanted_s, loudest = hits.onset_s[first], np.zeros(first.sum())
    np.maximum.at(loudest, np.cumsum(first) - 1, hits.velocity)
    distance_s = found_s[None] - 1 - wanted_s[:, None]
    # Nearest to a lag of half a frame or so, which is taken off exactly afterwards.
    nearest = np.abs(distance_s - FRAME_S).argmin(axis=1)
    late_s = distance_s[np.arange(len(wanted_s)), nearest]
    ratio = heard_bpm(sound) / tempo_bpm
    return Heard(groove.name, tempo_bpm, late_s, loudest > GHOST, ratio, recurrence(record, ratio))


def recurrence(record: Arrangement, ratio: float) -> float:
    """Share of hits after which the same drum is struck again in a beat of ``ratio`` times the tempo."""
    later_s = 60.0 / record.tempo_bpm / min((1.0, *EXPLANATIONS), key=lambda known: abs(ratio / known - 1))
    hits = record.hits
    same = hits.voice[:, None] == hits.voice
    there = np.abs(hits.onset_s[:, None] + later_s - hits.onset_s) < APART_S / 2
    return float((same & there).any(axis=1)[hits.onset_s + later_s < record.count.end_s].mean())


def shares(heard: list[Heard]) -> tuple[float, dict[str, tuple[float, float]]]:
    """The lag in seconds, and for each groove the share of its loud and of all onsets that were found."""
    lag_s = float(np.median(np.concatenate([one.late_s for one in heard])))
    found: dict[str, tuple[float, float]] = {}
    for name in dict.fromkeys(one.groove for one in heard):
        mine = [one for one in heard if one.groove == name]
        there = np.abs(np.concatenate([one.late_s for one in mine]) - lag_s) <= FRAME_S
        loud = np.concatenate([one.loud for one in mine])
        found[name] = float(there[loud].mean()), float(there.mean())
    return lag_s, found


def attacks_s(sound: npt.NDArray[np.float64], near_s: Seconds) -> Seconds:
    """Where the energy of the difference rises most, within ``REACH_S`` of each given time; (n,) seconds."""
    total = np.concatenate([[0.0], np.cumsum(np.square(np.diff(sound, prepend=0.0)))])
    after, before = RATE // 1000, RATE // 250
    found = []
    for middle in np.rint(near_s * RATE).astype(int).tolist():
        at = np.arange(max(before, middle - round(REACH_S * RATE)), middle + round(REACH_S * RATE))
        rise = (total[at + after] - total[at]) / after
        jump = rise / ((total[at] - total[at - before]) / before + 0.01 * rise.max())
        first = int(np.argmax(jump >= 0.5 * jump.max()))
        found.append(at[first + np.argmax(jump[first : first + after])] / RATE)
    return np.array(found)


def played(record: Arrangement) -> npt.NDArray[np.float64]:
    """The record's MIDI file played by FluidSynth, mono; ``ImportError`` where there is none."""
    import fluidsynth  # noqa: F401
    import pretty_midi

    return np.asarray(pretty_midi.PrettyMIDI(io.BytesIO(midi_bytes(record))).fluidsynth(fs=RATE), dtype=np.float64)


def second_renderer(record: Arrangement, kit: Kit) -> dict[str, tuple[Seconds, Seconds]]:
    """For every short drum (hits,) how many seconds after our onset FluidSynth's comes, and ours after its time."""
    found = {}
    for drum in SHORT_DRUMS:
        solo = record.only(drum)
        if not len(solo.hits):
            continue
        wanted_s = solo.hits.onset_s + LEAD_S
        pad = (round(LEAD_S * RATE), RATE)
        theirs = attacks_s(np.pad(played(solo), pad), wanted_s)
        ours = attacks_s(np.pad(mixdown(solo, kit).mean(axis=1).astype(np.float64), pad), wanted_s)
        found[drum] = theirs - ours, ours - wanted_s
    return found


def tempo_figures(heard: list[Heard]) -> dict[str, Any]:
    from tests.benchmarks.sound import figure

    right = [one for one in heard if one.mistaken_for == 1]
    table: defaultdict[float, list[str]] = defaultdict(list)
    strange = [f"{one.groove} at {one.tempo_bpm:g}: {one.ratio:.3f}" for one in heard if not one.explained]
    for one in heard:
        if one.mistaken_for not in (1, None):
            table[one.mistaken_for].append(f"{one.groove} {one.tempo_bpm:g} ({one.again:.2f})")
    return {
        "tempo_found": figure(len(right) / len(heard), "share", note=f"of {len(heard)} records, within 4 %"),
        **{
            f"tempo_times_{ratio:.2f}": figure(
                len(names), "records", note=f"{EXPLANATIONS[ratio]}: {', '.join(names)}"
            )
            for ratio, names in sorted(table.items())
        },
        "tempo_not_explained": figure(len(strange), "records", "0", not strange, ", ".join(strange)),
    }


def renderer_figures(patterns: list[Groove]) -> dict[str, Any]:
    from tests.benchmarks.sound import figure

    late: defaultdict[str, list[Seconds]] = defaultdict(list)
    own: list[Seconds] = []
    try:
        for seed, groove in enumerate(patterns):
            record = arrange(groove, tempo_bpm=groove.usual_tempo_bpm, form="intro:4,verse:4", seed=seed)
            for drum, (theirs, ours) in second_renderer(record, Kit(seed)).items():
                late[drum].append(theirs)
                own.append(ours)
    except ImportError as error:
        return {"second_renderer_worst_ms": {**figure(0, "ms", note=f"no FluidSynth here: {error}"), "value": None}}
    drums = {drum: 1000 * np.concatenate(parts) for drum, parts in late.items()}
    together, ours_ms = np.concatenate(list(drums.values())), 1000 * np.concatenate(own)
    constant = float(np.median(together))
    worst = float(np.abs(together - constant).max())
    return {
        "second_renderer_constant_ms": figure(constant, "ms", note=f"{len(together)} hits, {len(patterns)} records"),
        "second_renderer_worst_ms": figure(
            worst, "ms", "within 2", worst <= 2, "from FluidSynth after that constant"
        ),
        **{
            f"second_renderer_{drum}_ms": figure(
                float(np.abs(values - constant).max()),
                "ms",
                note=f"worst of {len(values)}; median {np.median(values) - constant:+.2f}",
            )
            for drum, values in drums.items()
        },
        "own_onsets_worst_ms": figure(
            float(np.abs(ours_ms - np.median(ours_ms)).max()), "ms", note="ours against their scheduled times"
        ),
    }


def figures() -> dict[str, Any]:
    from tests.benchmarks.sound import figure

    patterns = list(grooves().values())
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        heard = [
            hear(groove, tempo_bpm, seed, Kit(seed))
            for groove in patterns
            for seed, tempo_bpm in enumerate(tempos_bpm(groove))
        ]
        lag_s, by_groove = shares(heard)
        rest = renderer_figures(patterns)
    loud, whole = (np.array([pair[at] for pair in by_groove.values()]) for at in (0, 1))
    said = ", ".join(f"{name} {a:.3f}/{b:.3f}" for name, (a, b) in by_groove.items())
    return {
        "onsets_heard": figure(
            float(loud.mean()), "share", note=f"within 5.3 ms, ghost notes aside, lag {1000 * lag_s:.1f} ms"
        ),
        "onsets_heard_lowest": figure(float(loud.min()), "share", note=f"loud/all: {said}"),
        "onsets_heard_of_all": figure(float(whole.mean()), "share", note="with ghost notes"),
        **tempo_figures(heard),
        **rest,
    }
