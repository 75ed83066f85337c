"""How a record is built: sections, turns, width, share of the middle, and no kick that is louder than another.

Loudness by pyloudnorm 0.2.0 (ITU-R BS.1770) of the sections of records with a song, relative to the verse; in the
drop, side against mid and the share of all energy between 0.3 and 2 kHz (goals: common practice, and what four whole
songs under free licences have). Kicks: energy below 120 Hz in the 150 ms after the one against that after the three,
mean over 16 bars and 24 seeds of every groove with a kick on both; no crash in the record. Ducking: energy of bass
and pads in the 40 ms after every kick of the drop, without against with it, median over seeds.

Variety: how far records of different seeds (groove, kit and song drawn) lie apart, against four whole songs from
Debian packages, read where they are installed and used for nothing else (`SONGS` names package and licence). Spectra:
level of nine bands from 20 Hz to 16 kHz of a minute, in dB of the whole. Onset patterns: spectral flux below 150 Hz,
to 2 kHz and above, its autocorrelation at 1 to 16 sixteenths of the beat that librosa 0.11.0 finds (48 numbers). The
spread is the mean over all pairs of the root mean square of the differences.
"""

from itertools import combinations, pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pyloudnorm
from scipy.signal import butter, sosfiltfilt

from synth.score.arranging.arrangement import arrange
from synth.score.arranging.turns import turn_size
from synth.score.grooves import groove, groove_files, grooves
from synth.sound.ducking import HOLD_S
from synth.sound.kit import Kit
from synth.sound.mix import Mix
from synth.sound.mixdown import mixdown
from tests.benchmarks.kits import EDGES_HZ

RATE = 48_000
GROOVES = ("four-on-the-floor", "techno", "backbeat", "drum-and-bass")
FORM = "intro:8,verse:8,break:8,build:4,drop:16,outro:4"
SEEDS = range(24)
BAND_HZ = (300.0, 2000.0)
KICK_SEEDS, KICK_S, KICK_HZ = range(24), 0.15, 120.0
GAMES = Path("/usr/share/games")
# Package, licence, file.
SONGS = (
    ("torus-trooper-data", "BSD-2-clause", GAMES / "torus-trooper/sounds/musics/tt1.ogg"),
    ("parsec47-data", "BSD-2-clause", GAMES / "parsec47/sounds/ptn1.ogg"),
    ("rrootage-data", "BSD-2-clause", GAMES / "rrootage/sounds/stg_a.ogg"),
    ("noiz2sa-data", "BSD-2-clause", GAMES / "noiz2sa/sounds/stg1.ogg"),
)
VARIED, HEARD_S = 12, 60
FLUX_HZ, HOP = (20.0, 150.0, 2000.0, 16_000.0), 512
LOW = butter(4, KICK_HZ, "lowpass", fs=RATE, output="sos")


def _sections() -> dict[str, dict[str, Any]]:
    meter = pyloudnorm.Meter(RATE)
    louder: dict[str, list[float]] = {"drop": [], "break": [], "intro": []}
    side_db, share = [], []
    for name in GROOVES:
        for seed in SEEDS:
            pattern = groove(name, [])
            record = arrange(pattern, tempo_bpm=pattern.usual_tempo_bpm, form=FORM, seed=seed, song=True)
            sound = mixdown(record, Kit(seed, RATE)).astype(np.float64)
            ends = [*(each.start_s for each in record.sections[1:]), record.count.end_s]
            parts = {
                each.name: sound[int(each.start_s * RATE) : int(end * RATE)]
                for each, end in zip(record.sections, ends, strict=True)
            }
            loud = {part: meter.integrated_loudness(samples) for part, samples in parts.items()}
            for part, found in louder.items():
                found.append(loud[part] - loud["verse"])
            mid, side = (np.abs(np.fft.rfft(parts["drop"] @ weights)) ** 2 for weights in ((0.5, 0.5), (0.5, -0.5)))
            hz = np.fft.rfftfreq(len(parts["drop"]), 1 / RATE)
            band = (hz > BAND_HZ[0]) & (hz < BAND_HZ[1])
            side_db.append(10 * np.log10(side[band].sum() / mid[band].sum()))
            share.append(100 * (mid[band].sum() + side[band].sum()) / (mid.sum() + side.sum()))

    def figure(values: list[float], unit: str, low: float, high: float) -> dict[str, Any]:
        value = float(np.median(values))
        return {"value": value, "unit": unit, "goal": f"{low:g} to {high:g}", "met": low <= value <= high}

    return {
        "drop_over_verse_db": figure(louder["drop"], "dB", 2, 3),
        "break_over_verse_db": figure(louder["break"], "dB", -10, -6),
        "intro_over_verse_db": {"value": float(np.median(louder["intro"])), "unit": "dB"},
        "side_to_mid_db": figure(side_db, "dB", -7, -5),
        "middle_share_percent": figure(share, "%", 12, 27),
    }


def _ducking() -> dict[str, dict[str, Any]]:
    found: dict[str, float] = {}
    for name in GROOVES:
        deep = []
        for seed in SEEDS:
            pattern, kit = groove(name, []), Kit(seed, RATE)
            record = arrange(pattern, tempo_bpm=pattern.usual_tempo_bpm, form="drop:8", seed=seed, song=True)
            frames = round(record.duration_s * RATE)
            kick, plain, both = (
                Mix.of(record.only(*voices).hits, kit, duck_db=record.duck_db).frames(0, frames)
                for voices in (("kick",), ("bass", "pad"), ("kick", "bass", "pad"))
            )
            starts = np.round(record.only("kick").hits.onset_s * RATE).astype(np.int64)
            under = np.unique(starts[:, None] + np.arange(round(HOLD_S * RATE)))
            deep.append(10 * np.log10(np.sum(plain[under] ** 2) / np.sum((both - kick)[under] ** 2)))
        found[name] = float(np.median(deep))
    return {
        "ducking_db": {
            "value": found["four-on-the-floor"],
            "unit": "dB",
            "goal": "3 to 6",
            "met": 3 <= found["four-on-the-floor"] <= 6,
            "note": "four-on-the-floor; " + ", ".join(f"{name} {deep:.1f}" for name, deep in found.items()),
        }
    }


def _kicks() -> dict[str, dict[str, Any]]:
    found = {}
    for name in groove_files([]):
        pattern = groove(name, [])
        if not {1, 3} <= set(pattern.kick_on):
            continue
        ratios_db = []
        for seed in KICK_SEEDS:
            record = arrange(
                pattern, tempo_bpm=pattern.usual_tempo_bpm, form="verse:22", seed=seed, signals=("fill",)
            )
            low = sosfiltfilt(LOW, mixdown(record, Kit(seed, RATE)).mean(axis=1))
            count = record.count
            # Not the last bar of a phrase, which a fill may end.
            whole = (count.bar_in_phrase < record.phrase_bars) & (np.arange(len(count)) < len(count) - 4)
            ones, threes = (
                np.mean(
                    [
                        np.mean(low[int(at_s * RATE) : int((at_s + KICK_S) * RATE)] ** 2)
                        for at_s in count.beats_s[whole & (count.beat_in_bar == beat)]
                    ]
                )
                for beat in (1, 3)
            )
            ratios_db.append(10 * np.log10(ones / threes))
        found[name] = float(np.mean(ratios_db))
    worst = max(found, key=lambda name: abs(found[name]))
    return {
        "kick_one_over_three_db": {
            "value": found[worst],
            "unit": "dB",
            "goal": "within 0.3",
            "met": abs(found[worst]) <= 0.3,
            "note": f"the worst of {len(found)} grooves: {worst}",
        }
    }


def _turns() -> dict[str, dict[str, Any]]:
    """How far the two beats from a turn on are louder than those two bars before, by the bars that it closes."""
    steps: dict[int, list[float]] = {1: [], 2: [], 3: [], 4: []}
    for name in GROOVES:
        for seed in SEEDS:
            pattern = groove(name, [])
            record = arrange(pattern, tempo_bpm=pattern.usual_tempo_bpm, form="verse:64", seed=seed, song=True)
            sound, beat_s = mixdown(record, Kit(seed, RATE)).mean(axis=1), 60 / record.tempo_bpm
            for turn in record.turns:
                size = turn_size(round(turn.time_s / beat_s / 4), section_ends=False)
                at, beat = int(turn.time_s * RATE), int(beat_s * RATE)
                before, after = (np.mean(sound[start : start + 2 * beat] ** 2) for start in (at - 8 * beat, at))
                steps[size].append(10 * np.log10(after / before))
    means = [float(np.mean(found)) for found in steps.values()]
    return {
        f"turn_after_{bars}_bars_db": {"value": mean, "unit": "dB", "goal": "rising", "met": means == sorted(means)}
        for bars, mean in zip((4, 8, 16, 32), means, strict=True)
    }


def _spectrum_db(sound: Any) -> Any:
    """Levels of nine bands of a minute, (9,), in dB of the whole."""
    power = np.square(np.abs(np.fft.rfft(sound)))
    hz = np.fft.rfftfreq(len(sound), 1 / RATE)
    bands = np.array([power[(hz >= low) & (hz < high)].sum() for low, high in pairwise(EDGES_HZ)])
    return 10 * np.log10(bands / bands.sum() + 1e-6)


def _onset_pattern(sound: Any) -> Any:
    """Autocorrelation of the flux of three bands at 1 to 16 sixteenths of the beat, (48,)."""
    import librosa

    parts = np.log1p(100 * np.abs(librosa.stft(sound.astype(np.float32), n_fft=2048, hop_length=HOP)))
    flux = np.maximum(np.diff(parts, axis=1), 0)
    tempo_bpm = float(librosa.feature.tempo(onset_envelope=flux.mean(axis=0), sr=RATE, hop_length=HOP)[0])
    hz = librosa.fft_frequencies(sr=RATE, n_fft=2048)
    lags = np.arange(1, 17) * 15 / tempo_bpm * RATE / HOP
    found = []
    for low, high in pairwise(FLUX_HZ):
        one = flux[(hz >= low) & (hz < high)].mean(axis=0)
        one = one - one.mean()
        alike = np.fft.irfft(np.square(np.abs(np.fft.rfft(one, 2 * len(one)))))[: len(one)]
        found.append(np.interp(lags, np.arange(len(alike)), alike / alike[0]))
    return np.concatenate(found)


def _spread(features: list[Any]) -> float:
    return float(np.mean([np.sqrt(np.mean(np.square(one - other))) for one, other in combinations(features, 2)]))


def _variety() -> dict[str, dict[str, Any]]:
    import soundfile
    from scipy.signal import resample_poly

    absent = [package for package, _, path in SONGS if not path.exists()]
    theirs, ours = [], []
    for _, _, path in SONGS:
        if path.exists():
            sound, rate = soundfile.read(path, always_2d=True)
            theirs.append(resample_poly(sound.mean(axis=1), RATE // 100, rate // 100)[: HEARD_S * RATE])
    names = list(grooves())
    drawn = np.random.default_rng(0).choice(names, VARIED)
    for seed, name in enumerate(drawn):
        pattern = groove(str(name), [])
        record = arrange(pattern, tempo_bpm=pattern.usual_tempo_bpm, form="verse:16,drop:24", seed=seed, song=True)
        ours.append(mixdown(record, Kit(seed, RATE)).mean(axis=1, dtype=np.float64)[: HEARD_S * RATE])
    found: dict[str, dict[str, Any]] = {}
    for what, feature, unit in (("spectra", _spectrum_db, "dB"), ("onset_patterns", _onset_pattern, "")):
        mine, songs = (_spread([feature(one) for one in sounds]) if sounds else None for sounds in (ours, theirs))
        found[f"spread_of_{what}"] = {
            "value": mine,
            "unit": unit,
            "goal": "" if absent or songs is None else f"at least {songs / 2:.3g}",
            "met": None if absent or songs is None or mine is None else mine >= songs / 2,
            "note": f"not installed: {', '.join(absent)}" if absent else f"{VARIED} seeds; four songs {songs:.3g}",
        }
    return found


def figures() -> dict[str, dict[str, Any]]:
    """Levels, turns, width, share, ducking, variety of records with a song; the kick of one against that of three."""
    return _sections() | _turns() | _ducking() | _variety() | _kicks()
