"""A short practice without screen or speaker: a simulated learner on real trials, real marking, real pictures."""

import os
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from app.ahead import Ahead, Wish
from app.practice import Phase, Practice
from exercises.drills import drill
from exercises.logbook.record import record
from exercises.logbook.store import Logbook
from exercises.simulated import LEARNERS
from exercises.trial import Answer, Result, Trial
from exercises.words import Say
from synth.clock import utc_now
from synth.errors import Trouble
from synth.files import make_folder, replace_with, write_json, write_sound, write_text
from synth.playback import Player

RATE_HZ = 48_000
INVENTED = Say("Simulated learner: invented for this demo, nobody's practice.")


def demo(out: Path, seed: int) -> Iterator[str]:
    """Write a folder for each simulated learner and the pictures; yields a line for each step.

    ``Trouble`` where the folder cannot be made or written.
    """
    make_folder(out)
    yield str(INVENTED)
    one = drill("one")
    with Logbook.open(out / "logbook.sqlite3") as logbook:
        for number, (name, learner) in enumerate(LEARNERS.items()):
            trial = one.make(1 + number % 3, seed + number)
            answer = learner(trial, np.random.default_rng(seed + number))
            result = one.mark(trial, answer)
            _write_trial(out / name, trial, answer, result)
            logbook.add(
                record(
                    trial,
                    answer,
                    result,
                    when=utc_now(),
                    groove=trial.arrangement.groove,
                    device="none",
                    simulated=True,
                )
            )
            yield f"{out / name}: {result.text}"
        for picture in _pictures(out, logbook, seed):
            yield str(picture)


def invented_weeks(out: Path, weeks: int, seed: int, every_trial: bool = False) -> Iterator[str]:
    """Write a logbook of invented weeks that end today; yields a line for each sitting, or for each trial."""
    from exercises.logbook.invented import demo_weeks

    if not 1 <= weeks <= 1040:
        raise Trouble(f"--weeks {weeks}: 1 to 1040 expected")
    make_folder(out)
    yield str(INVENTED)
    yield from demo_weeks(out / "logbook.sqlite3", weeks, seed, now=utc_now(), every_trial=every_trial)


def _write_trial(folder: Path, trial: Trial, answer: Answer, result: Result) -> None:
    """One trial as files: sound, trial, truth, taps and result."""
    make_folder(folder)
    write_sound(folder / "trial.wav", trial.samples(RATE_HZ), RATE_HZ)
    write_json(folder / "trial.json", trial.to_json(RATE_HZ))
    write_json(folder / "truth.json", trial.truth(RATE_HZ).to_json())
    write_text(
        folder / "taps.txt",
        f"# {INVENTED}\n" + "".join(f"{tap:.6f}\n" for tap in answer.taps_s),
    )
    write_json(folder / "result.json", result.to_json() | {"simulated": True})


def _pictures(out: Path, logbook: Logbook, seed: int) -> Iterator[Path]:
    """The window as it looks before, during and after a trial, drawn without a screen."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtCore import QLoggingCategory
    from PySide6.QtWidgets import QApplication

    from app import theme
    from app.window import Window, dress

    application = QApplication.instance() or QApplication(["tallybar"])
    # Without a screen Qt says of every window that hints for its size go nowhere.
    QLoggingCategory.setFilterRules("default.warning=false")
    theme.load_fonts()
    dress(theme.LIGHT)
    practice = Practice(Player(), logbook, Ahead(lambda: seed), wish=Wish("one", 2))
    window = Window(practice)
    window.resize(1280, 800)

    def shot(name: str) -> Path:
        window.show_screen(2 if name == "logbook" else 0)
        application.processEvents()
        if name == "logbook":
            window.open_logbook().wait()
        with replace_with(out / f"window-{name}.png") as beside:
            window.grab().save(str(beside), "PNG")
        return out / f"window-{name}.png"

    window.show()
    yield shot("ready")
    trial = drill("one").make(2, seed)
    answer = LEARNERS["beginner"](trial, np.random.default_rng(seed))
    practice.trial, practice.answer = trial, answer
    practice.result, practice.phase = drill("one").mark(trial, answer), Phase.MARKED
    practice.notice = str(INVENTED)
    yield shot("result")
    yield shot("logbook")
    practice.phase = Phase.READY
    window.close()
