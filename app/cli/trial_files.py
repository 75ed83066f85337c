"""Writes a trial as files: its sound, its truth and its answer."""

from pathlib import Path

from app.cli.output import complain, say
from exercises.logbook.old_trials.again import with_sound
from exercises.trial.trial import Answer, Kind, Trial
from synth.base.files import make_folder, write_json, write_sound, write_text

RATE_HZ = 48_000


def write_trial(folder: Path, trial: Trial, answer: Answer | None = None) -> None:
    """Write trial.wav, trial.json and, with an answer, answer.txt as ``mark`` reads it; says what it wrote.

    Where the sound is not the trial's own, one line on standard error says so. ``Trouble`` if it cannot be written.
    """
    sounding, told = with_sound(trial)
    names = ["trial.wav", "trial.json"]
    samples = sounding.samples(RATE_HZ)  # of a record that may be gone by now: before anything is written
    make_folder(folder)
    write_sound(folder / names[0], samples, RATE_HZ)
    write_json(folder / names[1], (trial if told else sounding).to_json(RATE_HZ))
    if answer is not None:
        names.append("answer.txt")
        lines = [*map(repr, answer.taps_s.tolist())]
        if answer.value is not None:
            lines.append(f"answer: {answer.value}" if trial.kind in (Kind.TAPS, Kind.PRESS) else str(answer.value))
        write_text(folder / names[2], "".join(f"{line}\n" for line in lines))
    if told is not None:
        complain(told)
    say(f"{folder}: {', '.join(names)}. {trial.question}")
