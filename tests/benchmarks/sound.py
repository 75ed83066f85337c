"""Sound: mixing against copying a buffer and against general renderers, whole records, memory, loudness.

Times are CPU times: all renderers work in one thread, and other processes disturb them least.

Every renderer gets the same notes: each lasts as long as our drum sounds, with the bundled sound font of pretty_midi
where one is needed. pretty_midi's `synthesize` passes over drums, so that it gets the notes as those of a melody.
"""

import itertools
import subprocess
import sys
import tempfile
import time
import tracemalloc
import warnings
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

ROOT = Path(__file__).parents[2]
RATE = 48_000
EVENTS = "tinysoundfont event by event"
FORM = "intro:16,verse:16,build:8,drop:16,break:8,drop:16,outro:16"
HOUR = "from tests.benchmarks.sound import stream_an_hour; stream_an_hour(); "
# The kernel's own high-water mark: that of getrusage would be the parent's.
HOUR += "print([line.split()[1] for line in open('/proc/self/status') if line.startswith('VmHWM')][0])"


def figure(value: float, unit: str, goal: str = "", met: bool | None = None, note: str = "") -> dict[str, Any]:
    return {"value": round(value, 4), "unit": unit, "goal": goal, "met": met, "note": note}


def comparisons(make: Callable[[], dict[str, Any]], *names: str) -> dict[str, Any]:
    """What ``make`` gives; where a renderer to compare with is not installed, these figures cannot be had."""
    try:
        return make()
    except ImportError as why:
        return {name: {"value": None, "unit": "x", "goal": "", "met": None, "note": str(why)} for name in names}


def cpu_s(work: Callable[[], object]) -> float:
    begun = time.process_time()
    work()
    return time.process_time() - begun


def in_turn(works: dict[str, Callable[[], object]], times: int) -> dict[str, float]:
    """CPU seconds of each in its least disturbed round; all of them once a round."""
    rounds = [{name: cpu_s(work) for name, work in works.items()} for _ in range(times)]
    return {name: min(one[name] for one in rounds) for name in works}


def plain_loop() -> Any:
    """64 bars at 120 BPM: hats on the eighths, kick on 1 and 3, snare on 2 and 4: 768 hits in 128 s."""
    from synth.score.arranging.arrangement import arrange
    from synth.score.grooves import groove
    from synth.score.hits import Hits

    bar = [(at / 2, 2) for at in range(8)] + [(0, 0), (2, 0), (1, 1), (3, 1)]
    onset_s = [(4 * number + beat) * 0.5 for number in range(64) for beat, _ in bar]
    hits = Hits.of(onset_s, [voice for _, voice in bar] * 64, np.full(768, 0.8), ("kick", "snare", "closed_hat"))
    record = arrange(groove("backbeat"), tempo_bpm=120, form="verse:64")
    return replace(record, hits=hits, tail_s=0.0)


def full_record(form: str = FORM) -> Any:
    """Drums, bass, chords and lead at 124 BPM."""
    from synth.score.arranging.arrangement import arrange
    from synth.score.grooves import groove

    return arrange(groove("deep-house"), tempo_bpm=124, form=form, phrase_bars=8, seed=3, song=True)


def renderers(hits: Any, duration_s: float, kit: Any) -> dict[str, Callable[[], object]]:
    """The general renderers, each with the notes of ``hits``."""
    import pretty_midi
    import tinysoundfont

    from synth.midi.general_midi import GM_DRUMS

    notes = []
    for onset_s, voice, velocity in zip(
        hits.onset_s.tolist(), hits.voice.tolist(), hits.velocity.tolist(), strict=True
    ):
        name = hits.voices[voice]
        length_s = len(kit.take(name).samples) / RATE
        notes.append(pretty_midi.Note(max(1, round(velocity * 127)), GM_DRUMS[name][0], onset_s, onset_s + length_s))
    drums, melody = (pretty_midi.Instrument(0, is_drum=is_drum, name="loop") for is_drum in (True, False))
    drums.notes, melody.notes = notes, notes
    as_drums, as_melody = pretty_midi.PrettyMIDI(), pretty_midi.PrettyMIDI()
    as_drums.instruments.append(drums)
    as_melody.instruments.append(melody)
    font = str(next(Path(pretty_midi.__file__).parent.rglob("*.sf2")))
    synth = tinysoundfont.Synth(samplerate=RATE)
    synth.program_select(9, synth.sfload(font), 128, 0, True)
    sequencer = tinysoundfont.Sequencer(synth)
    with tempfile.TemporaryDirectory() as folder:
        as_drums.write(f"{folder}/notes.mid")
        events = tinysoundfont.midi.load(f"{folder}/notes.mid")

    def with_tinysoundfont() -> None:
        sequencer.set_time(0)
        sequencer.add(events)
        synth.generate(round(duration_s * RATE))

    by_hand = tinysoundfont.Synth(samplerate=RATE)
    by_hand.program_select(9, by_hand.sfload(font), 128, 0, True)
    notes_by_hand = sorted(
        [(note.start, note.pitch, note.velocity) for note in notes] + [(note.end, note.pitch, 0) for note in notes]
    )

    def event_by_event() -> None:
        """No sequencer: the sound between two events is written into one buffer."""
        out = memoryview(np.empty(round(duration_s * RATE) * 2, dtype=np.float32)).cast("B")
        at = 0
        for when_s, pitch, velocity in notes_by_hand:
            frame = min(round(when_s * RATE), round(duration_s * RATE))
            if frame > at:
                by_hand.generate(frame - at, out[8 * at : 8 * frame])
                at = frame
            if velocity:
                by_hand.noteon(9, pitch, velocity)
            else:
                by_hand.noteoff(9, pitch)

    return {
        "tinysoundfont": with_tinysoundfont,
        EVENTS: event_by_event,
        "FluidSynth": lambda: as_drums.fluidsynth(fs=RATE),
        "synthesize": lambda: as_melody.synthesize(fs=RATE),
    }


def loop_figures() -> dict[str, Any]:
    from synth.sound.kit import Kit
    from synth.sound.mixdown import mixdown

    loop, kit = plain_loop(), Kit(3)
    finished = mixdown(loop, kit)
    fast = in_turn({"ours": lambda: mixdown(loop, kit), "copy": lambda: finished.copy()}, 15)

    def against_others() -> dict[str, Any]:
        others = renderers(loop.hits, 128.0, kit)
        slow = in_turn({"ours": lambda: mixdown(loop, kit), **others}, 6)
        best = min((name for name in others if name != EVENTS), key=lambda name: slow[name])
        said = ", ".join(f"{name} {slow[name] * 1000:.0f} ms" for name in others)
        times = slow[best] / slow["ours"]
        return {
            "loop_times_faster": figure(times, "x", "at least 5", times >= 5, f"than {best} ({said})"),
            "loop_times_faster_than_events": figure(
                slow[EVENTS] / slow["ours"], "x", note="than tinysoundfont without its sequencer, fed by hand"
            ),
        }

    return {
        "loop_ms": figure(fast["ours"] * 1000, "ms", note="768 hits, 128 s, level and limiter included"),
        "loop_times_real_time": figure(128 / fast["ours"], "x"),
        "loop_copies_of_the_buffer": figure(
            fast["ours"] / fast["copy"], "copies", "at most 2", fast["ours"] <= 2 * fast["copy"]
        ),
        **comparisons(against_others, "loop_times_faster", "loop_times_faster_than_events"),
    }


def record_figures() -> dict[str, Any]:
    from synth.score.hits import DRUMS
    from synth.sound.kit import Kit
    from synth.sound.mixdown import mixdown

    record, kit = full_record(), Kit(3)
    cold_s = cpu_s(lambda: mixdown(record, kit, spoken="bars"))
    drums = record.only(*DRUMS)
    ours = {"record": lambda: mixdown(record, kit, spoken="bars"), "drums": lambda: mixdown(drums, kit)}
    warm_s = min(cpu_s(ours["record"]) for _ in range(15))

    def against_others() -> dict[str, Any]:
        others = renderers(drums.hits, record.duration_s, kit)
        slow = in_turn({**ours, **others}, 3)
        best = min(others, key=lambda name: slow[name])
        times, whole = slow[best] / slow["drums"], slow[best] / slow["record"]
        note = f"drum part, than {best}; whole record against its drum part: {whole:.1f} x"
        return {"record_times_faster": figure(times, "x", "at least 5", times >= 5, note)}

    tracemalloc.start()
    size = mixdown(record, kit, spoken="bars").nbytes
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    speed, cold = record.duration_s / warm_s, record.duration_s / cold_s
    return {
        "record_times_real_time": figure(
            speed, "x", "at least 1500", speed >= 1500, f"96 bars at 124, {len(record.hits)} hits and the count"
        ),
        "record_new_kit_times_real_time": figure(cold, "x", note="every sound rendered anew"),
        **comparisons(against_others, "record_times_faster"),
        "record_memory_buffers": figure(peak / size, "buffers", "at most 2.5", peak <= 2.5 * size),
    }


def growth_figures() -> dict[str, Any]:
    from synth.sound.kit import Kit
    from synth.sound.mixdown import mixdown

    kit = Kit(3)
    bars = [16, 64, 256, 1024]
    times_s = []
    for number in bars:
        record = full_record(f"intro:8,verse:{number - 8}")
        mixdown(record, kit, spoken="bars")
        times_s.append(min(cpu_s(lambda record=record: mixdown(record, kit, spoken="bars")) for _ in range(3)))
    exponent = float(np.polyfit(np.log(bars), np.log(times_s), 1)[0])
    said = ", ".join(f"{number}: {time_s * 1000:.0f} ms" for number, time_s in zip(bars, times_s, strict=True))
    return {"record_exponent_in_bars": figure(exponent, "", "about 1", exponent < 1.1, said)}


def stream_an_hour() -> None:
    """An hour's record in blocks, as the export takes them."""
    from synth.sound.kit import Kit
    from synth.sound.mixdown import mixdown_blocks

    for _ in mixdown_blocks(full_record("intro:32,verse:1828"), Kit(3), spoken="bars"):
        pass


def hour_figures() -> dict[str, Any]:
    begun = time.perf_counter()
    done = subprocess.run([sys.executable, "-c", HOUR], cwd=ROOT, capture_output=True, text=True, check=True)
    memory_mb = float(done.stdout) / 1024
    return {
        "hour_memory_mb": figure(memory_mb, "MB", "below 300", memory_mb < 300, "whole process, in blocks of 5 s"),
        "hour_s": figure(time.perf_counter() - begun, "s", note="start of Python and arrangement included"),
    }


def trial_figures() -> dict[str, Any]:
    """CPU time of making a trial with its sound.

    With a new kit (the first trial, or another drill), with its kit at hand, and with the new kit that a process
    rendered ahead (every other trial).
    """
    from app.practice.trial.next_trial import Wish, make_ready
    from app.practice.trial.takes_ahead import TakesAhead
    from exercises.drills import drills
    from synth.sound.kit import Kit
    from synth.sound.pool import POOL

    wishes = [
        Wish(name, rung)
        for name, one in drills().items()
        for rung in sorted({1, 3, len(one.rungs) // 2, len(one.rungs)})
    ]
    ahead, render, rendered, number = TakesAhead(), Kit._render, [0], itertools.count()
    times_s: dict[str, list[float]] = {"new_kit": [], "known_kit": [], "rendered_ahead": []}

    def counted(*asked: Any) -> Any:
        rendered[0] += 1
        return render(*asked)

    def fetched(request: tuple[Wish, int, int]) -> float:
        """Seconds once all is rendered."""
        while True:
            POOL.fresh()
            rendered[0] = 0
            time_s = cpu_s(lambda: (ahead.fetch(request), make_ready(*request)))
            if not rendered[0]:
                return time_s
            time.sleep(0.2)

    try:
        Kit._render = counted  # type: ignore[method-assign]
        for wish in wishes:
            request = (wish, next(number), RATE)
            ahead.expect([request])
            ahead.listens.wait(60)
            POOL.fresh()
            times_s["new_kit"].append(cpu_s(lambda request=request: make_ready(*request)))
            times_s["known_kit"].append(cpu_s(lambda request=request: make_ready(*request)))
            times_s["rendered_ahead"].append(fetched(request))
    finally:
        Kit._render = render  # type: ignore[method-assign]
        ahead.close()
    found = {}
    for name, each_s in times_s.items():
        value, high = (1000 * float(np.percentile(each_s, percent)) for percent in (50, 90))
        goal = "" if name == "new_kit" else "at most 80"
        met = value <= 80 if goal else None
        found[f"trial_{name}_ms"] = figure(
            value, "ms", goal, met, f"{len(wishes)} rungs of all drills; 90 %: {high:.0f}"
        )
    return found


def loudness_figures() -> dict[str, Any]:
    """How far records of all grooves are from -18 LUFS, and their highest true peak, by pyloudnorm and scipy."""
    import pyloudnorm
    from scipy.signal import resample_poly

    from synth.score.arranging.arrangement import arrange
    from synth.score.grooves import grooves
    from synth.sound.kit import Kit
    from synth.sound.mixdown import mixdown

    meter, off, peaks = pyloudnorm.Meter(RATE), [], []
    for seed, groove in enumerate(grooves().values()):
        low, high = groove.tempo_range_bpm
        record = arrange(groove, tempo_bpm=(low + high) / 2, form="intro:4,verse:4", seed=seed, song=seed % 2 == 0)
        sound = mixdown(record, Kit(seed), spoken=(None, "bars", "letters")[seed % 3]).astype(np.float64)
        off.append(abs(meter.integrated_loudness(sound) + 18))
        peaks.append(20 * np.log10(np.abs(resample_poly(sound, 4, 1, axis=0)).max()))
    return {
        "loudness_worst_off_lu": figure(max(off), "LU", "at most 0.5", max(off) <= 0.5, f"{len(off)} records"),
        "true_peak_highest_dbtp": figure(max(peaks), "dBTP", "at most -1", max(peaks) <= -1),
    }


def figures() -> dict[str, Any]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return {
            **loop_figures(),
            **record_figures(),
            **growth_figures(),
            **hour_figures(),
            **loudness_figures(),
            **trial_figures(),
        }
