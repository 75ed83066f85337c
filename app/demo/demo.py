"""Demonstration without screen or speaker: a simulated learner on real trials, marking and pictures."""

from collections.abc import Iterator
from pathlib import Path
from shlex import quote

import numpy as np

from app.demo.pictures import Look, pictures
from app.demo.simulated import LEARNERS
from exercises.drills import drill
from exercises.logbook.store import FILE_NAME, Logbook
from exercises.progress.overview import invented
from exercises.trial.kept.record import record
from exercises.trial.result import Result
from exercises.trial.trial import Answer, Trial
from synth.base.errors import Trouble
from synth.base.files import make_folder, write_json, write_sound, write_text
from synth.base.folders import HOME_VARIABLE
from synth.device.clock import utc_now

RATE_HZ = 48_000
INVENTED = "Simulated learner: invented for this demo, nobody's practice."


def demo(out: Path, seed: int) -> Iterator[str]:
    """Write a folder for each simulated learner, and the pictures; yields a line for each step.

    Raises ``Trouble`` where the folder cannot be created or written.
    """
    _spare_practice(out / FILE_NAME)
    make_folder(out)
    yield INVENTED
    one = drill("one")
    with Logbook.open(out / FILE_NAME) as logbook:
        for number, (name, learner) in enumerate(LEARNERS.items()):
            trial = one.make(1 + number % 3, seed + number)
            answer = learner(trial, np.random.default_rng(seed + number))
            result = one.mark(trial, answer)
            assert trial.arrangement is not None
            _write_trial(out / name, trial, answer, result)
            logbook.add(
                record(
                    trial,
                    answer,
                    result,
                    when=utc_now(),
                    groove=trial.groove,
                    device="none",
                    simulated=True,
                )
            )
            yield f"{out / name}: {result}"
    yield from map(str, pictures(out / "window", iter([Look()])))


def invented_weeks(out: Path, weeks: int, seed: int, every_trial: bool = False) -> Iterator[str]:
    """Write a logbook of invented weeks; yields a line for each week or trial, and how to open it.

    Raises ``Trouble`` where there is a logbook already; with ``every_trial``, where it holds real practice.
    """
    from app.demo.invented import PEOPLE, demo_weeks

    if not 1 <= weeks <= 1040:
        raise Trouble(f"--weeks {weeks}: 1 to 1040 expected")
    book = out / FILE_NAME
    if every_trial:
        _spare_practice(book)
    elif book.exists():
        raise Trouble(f"{book} is there already and is left alone: name another folder with --out.")
    make_folder(out)
    yield INVENTED
    yield from demo_weeks(book, weeks, seed, now=utc_now(), every_trial=every_trial)
    home, name = quote(str(out)), quote(PEOPLE[0].name)
    yield (
        f"{book}: to look at it, {HOME_VARIABLE}={home} ./run; for the tutor,"
        f" ./run report --file {quote(str(book))} --learner {name} report.pdf"
    )


def _spare_practice(book: Path) -> None:
    """Raise ``Trouble`` where a logbook holds anything but simulated learners."""
    if not book.exists():
        return
    with Logbook.open(book) as there:
        own = next((name for name in there.learners() if invented(there, name) < there.count(name)), None)
    if own is not None:
        raise Trouble(f"{book} holds the practice of {own} and is left alone: name another folder with --out.")


def _write_trial(folder: Path, trial: Trial, answer: Answer, result: Result) -> None:
    """Write one trial: sound, trial, truth, taps and result."""
    make_folder(folder)
    write_sound(folder / "trial.wav", trial.samples(RATE_HZ), RATE_HZ)
    write_json(folder / "trial.json", trial.to_json(RATE_HZ))
    write_json(folder / "truth.json", trial.truth(RATE_HZ).to_json())
    write_text(
        folder / "taps.txt",
        f"# {INVENTED}\n" + "".join(f"{tap:.6f}\n" for tap in answer.taps_s),
    )
    write_json(folder / "result.json", result.to_json() | {"simulated": True})
