"""Pictures of every screen, drawn without screen or speaker, for the README and for review.

The window and trials are real; the player is a stub and the learner is simulated.
"""

import os
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from app.demo.invented import demo_weeks
from app.demo.invented_records import invented_records
from app.demo.simulated import simulate
from app.inputs.equipment import Equipment
from app.practice.learner.present_learner import PresentLearner
from app.practice.plan.planned import Planned
from app.practice.practice import Practice
from app.practice.records.own_records import OwnRecords
from app.practice.trial.attempt import Phase
from app.practice.trial.next_trial import Ahead, Wish
from app.settings import LANGUAGES, Keeper, Settings
from exercises.logbook.store import Logbook
from exercises.trial.modes import Mode
from synth.base.arrays import Samples
from synth.base.files import make_folder, replace_with
from synth.device.clock import utc_now
from synth.device.playback import Player
from synth.device.stream_clock import StreamClock

SIZES = ((1280, 800), (1920, 1080))
THEMES = ("light", "dark")
PERCENTS = (100, 200)
SEED = 7


class StillPlayer(Player):
    """A player without a device, at a fixed position."""

    at_s = 0.0
    sounds = False

    @property
    def playing(self) -> bool:
        """Whether something was started and not stopped."""
        return self.sounds

    @property
    def clock(self) -> StreamClock:
        """A clock with one block."""
        still = StreamClock(self.sample_rate_hz, self.latency_s)
        still.notes.note(0, 0.0, self.latency_s, 0)
        return still

    def open(self) -> None:
        """Nothing to open."""

    def play(self, samples: Samples, delay_s: float = 0.1, *, loop_frames: int = 0, skip_s: float = 0.0) -> None:
        """Nothing to hear."""
        self.sounds = True

    def stop(self) -> None:
        """Nothing to silence."""
        self.sounds = False

    def poll(self) -> None:
        """Nothing to look after."""

    def position_s(self) -> float:
        """The fixed position."""
        return self.at_s

    def trial_s(self, time_s: float) -> float:
        """Simulated taps are in seconds of the trial already."""
        return time_s


@dataclass(frozen=True, slots=True)
class Look:
    """How the window is dressed in a picture."""

    size: tuple[int, int] = SIZES[0]
    theme: str = "light"
    percent: int = 100
    language: str = "en"

    def __str__(self) -> str:
        return f"{self.size[0]}x{self.size[1]}-{self.theme}-{self.percent}-{self.language}"


def every_look() -> Iterator[Look]:
    """All combinations of size, theme, text size and language."""
    for size in SIZES:
        for theme in THEMES:
            for percent in PERCENTS:
                for language in LANGUAGES:
                    yield Look(size, theme, percent, language)


def pictures(out: Path, looks: Iterator[Look] | None = None) -> Iterator[Path]:
    """Draw every screen in every look into ``out``; yields each picture's path.

    Raises ``Trouble`` where the folder cannot be created or written.
    """
    os.environ["QT_QPA_PLATFORM"] = "offscreen"  # whatever screen the caller named
    make_folder(out)
    from PySide6.QtCore import QLoggingCategory
    from PySide6.QtWidgets import QApplication

    from app.ui.base import theme

    application = QApplication.instance() or QApplication(["tallybar"])
    assert isinstance(application, QApplication)
    # Without a screen Qt says of every window that hints for its size go nowhere.
    QLoggingCategory.setFilterRules("default.warning=false")
    theme.load_fonts()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "logbook.sqlite3"
        for _ in demo_weeks(path, 8, SEED, now=utc_now()):
            pass
        for each in looks or every_look():
            shown = Shown(application, each, path)
            for name in shown.scenes():
                yield shown.shot(out, name)


class Shown:
    """One window in one look, led from screen to screen."""

    def __init__(self, application, dressed: Look, logbook: Path) -> None:  # type: ignore[no-untyped-def]
        from app.session import Session
        from app.ui.base.language import speak
        from app.ui.dress import apply
        from app.ui.window import Window

        self._application, self._look = application, dressed
        settings = Settings(
            theme=dressed.theme, text_percent=dressed.percent, language=dressed.language, first_run_done=True
        )
        speak(application, dressed.language)
        apply(settings)
        self._logbook = Logbook.open(logbook)
        learner = self._logbook.learners()[0]
        self.player = StillPlayer()
        invented = PresentLearner(self._logbook, simulated=True)
        self.practice = Practice(Equipment(self.player), invented, Ahead(lambda: SEED), wish=Wish("one", 3))
        self.practice.records = OwnRecords(lambda: invented_records(logbook.parent))
        assert self.practice.records.catalogue
        self.practice.follow_day(Planned(logbook))
        self.window = Window(Session(self.practice, Keeper(replace(settings, learner=learner))))
        self.window.resize(*dressed.size)

    def scenes(self) -> Iterator[str]:
        """The screens in the order in which a learner meets them: the name of each, while the window shows it."""
        window, practice = self.window, self.practice
        window.show()
        window.contents.show_welcome()
        welcome = window.contents.first_run.welcome  # type: ignore[union-attr]
        for page in range(4):
            welcome.show_page(page)
            yield self._shown(f"01-welcome-{page + 1}")
        welcome.finish(False)
        practice.plan_day()
        window.contents.practise.tick()
        yield self._shown("02-plan")
        window.contents.practise.choose_freely()
        yield self._shown("02-free")
        for number, (name, wish, who) in enumerate(
            (
                ("one", Wish("one", 2, seed=SEED), "beginner"),
                ("on-the-three", Wish("one", 3, seed=SEED), "on-the-three"),
                ("busy", Wish("one", 3, seed=SEED, mode=Mode.BUSY), "beginner"),
                ("stopped-bar", Wish("stopped-bar", 3, seed=SEED), "random"),
                ("turn", Wish("turn", 4, seed=SEED), "beginner"),
                ("bring-in", Wish("bring-in", 2, seed=SEED), "beginner"),
            ),
            start=3,
        ):
            yield from self._trial(f"{number:02}-{name}", wish, who)
        for place, name in enumerate(("board", "logbook", "records", "sound-and-taps", "help"), start=1):
            window.contents.show_tab(place)
            if name == "logbook":
                window.contents.logbook.open_screen().wait()
            self._application.processEvents()
            yield self._shown(f"{place + 8:02}-{name}")
            if name == "records":
                yield from self._record()
            if name == "logbook":
                window.contents.logbook.open_screen().open_drill("one")
                window.contents.logbook.open_screen().wait()
                yield self._shown("10-logbook-drill")
            if name == "board":
                window.contents.set_alone(True)
                yield self._shown("09-board-alone")
                window.contents.set_alone(False)
        window.contents.open_help().lesson.click()
        yield self._shown("14-lesson")
        window.contents.open_lesson().leave()
        from app.ui.heading import SETTINGS

        window.contents.show_tab(SETTINGS)
        yield self._shown("15-settings")
        practice.put_away()
        window.close()
        window.deleteLater()

    def _record(self) -> Iterator[str]:
        """The page of a record while its count is heard."""
        contents = self.window.contents
        table = contents.records.open_list().table
        table.choose(f"{4:032x}")
        recording = table.record
        assert recording is not None
        contents.records.open(recording)
        assert contents.records.page is not None
        self.player.at_s = 9.0
        contents.records.page.tick()
        yield self._shown("11-record")
        contents.records.page.go_back()

    def _trial(self, name: str, wish: Wish, who: str) -> Iterator[str]:
        """A trial while it sounds, while it asks if it does, and marked."""
        from app.inputs.taps import Tap

        practice, screen = self.practice, self.window.contents.practise
        practice.choose(wish)
        practice.put_away()
        screen.redraw()
        screen.go_on()
        attempt = practice.attempt
        assert attempt is not None
        answer = simulate(who, attempt.trial, SEED)
        self.player.at_s = attempt.trial.count.end_s * 0.4
        for tap_s in answer.taps_s if attempt.by_taps else ():
            if tap_s < self.player.at_s:
                attempt.tap(Tap(float(tap_s), "key", True))
        if not attempt.trial.entry:
            screen.tick()
            yield self._shown(f"{name}-sounding")
        attempt.taps.clear()
        for tap_s in answer.taps_s if attempt.by_taps else ():
            attempt.tap(Tap(float(tap_s), "key", True))
        self.player.at_s = attempt.trial_end_s() + 0.01
        screen.tick()
        if practice.phase is Phase.ASKING:
            yield self._shown(f"{name}-asking")
            practice.answer_with(str(answer.value))
            screen.redraw()
        yield self._shown(f"{name}-result")
        practice.stop()

    def _shown(self, name: str) -> str:
        """Wait until the layout has settled."""
        before, places = None, self._places()
        while before != places:
            self._application.processEvents()
            before, places = places, self._places()
        return name

    def _places(self) -> list[tuple[int, ...]]:
        """Geometry of every visible widget."""
        from PySide6.QtWidgets import QWidget

        found = self.window.findChildren(QWidget)
        return [each.geometry().getRect() for each in found if each.isVisible()]  # type: ignore[misc]

    def shot(self, out: Path, name: str) -> Path:
        """The window as it is shown, as a picture."""
        goal = out / f"{name}-{self._look}.png"
        with replace_with(goal) as beside:
            self.window.grab().save(str(beside), "PNG")
        return goal
