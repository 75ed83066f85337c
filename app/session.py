"""Models and workers of a running program, independent of its window. Plain Python, no widget."""

import secrets
import sys
from collections.abc import Callable, Mapping
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from contextlib import suppress
from dataclasses import dataclass, field, fields, replace
from importlib import import_module
from typing import TYPE_CHECKING, Any

from app.inputs.equipment import Equipment
from app.inputs.listening import Listening
from app.inputs.moved_output import OF_OUTPUT, MovedOutput
from app.learner_settings import keep_choices, of_learner, present
from app.logfile import LogFile, log, log_path
from app.practice.kept_wish import kept_wish, wish_left
from app.practice.learner.present_learner import PresentLearner
from app.practice.learners import change as change_learner
from app.practice.learners import everyone
from app.practice.pause import Sitting
from app.practice.plan.kept_plan import adopt, plan_path
from app.practice.plan.planned import Planned
from app.practice.practice import Practice
from app.practice.records.own_records import OwnRecords
from app.practice.trial.attempt import Phase
from app.practice.trial.next_trial import Ahead, Wish
from app.practice.trial.void_messages import CLOSED
from app.settings import Keeper, Loaded, Settings, load, settings_path
from exercises.logbook.copies import daily_copy
from exercises.logbook.health import seal
from exercises.logbook.joining import add, rename
from exercises.logbook.joining import learner as found_learner
from exercises.logbook.learners import good_name, one_of
from exercises.logbook.opening import open_logbook
from exercises.trial.versions import MARKING
from synth.base.errors import Trouble
from synth.base.words import Say, Template
from synth.catalogue.catalogue import WAITING
from synth.device.clock import utc_now
from synth.device.playback import Player, settle
from synth.device.ticker import Ticker
from synth.score.grooves import groove as find_groove
from synth.score.grooves import grooves
from synth.sound.kits import check_family

if TYPE_CHECKING:
    from app.inputs.calibrator import Calibrator
    from app.practice.board.board import Board
    from app.practice.missing_truths import FillingIn
    from app.practice.records.shelf import Shelf

MARKED_ANEW = Template(
    "start.marked_anew",
    "Marking is more exact in this version, so verdicts may differ from before. The command 'logbook mark-again'"
    " marks earlier trials again.",
)
ADDED = Template("session.added", "{label} is added. Choose on the page Practise who practises.")
NOBODY_ADDED = Template("session.nobody_added", "Nothing is being saved at present. No learner can be added.")
SHELF = "app.practice.records.shelf"

UNSAVED = Template("start.unsaved", "{trouble}. You can practise; nothing will be saved.")


@dataclass(slots=True, eq=False)
class Session:
    """Models and workers of one run of the program. A window is made on it and may be replaced.

    ``opening`` is what must be known from the start, such as that nothing will be kept. ``named``: the trial was
    named on the command line. Without a ``keeper`` the settings are as at first, the first run done, and not kept.
    """

    practice: Practice
    keeper: Keeper = field(default_factory=lambda: Keeper(Settings(first_run_done=True)))
    opening: tuple[Say, ...] = ()
    named: bool = False
    log_file: LogFile | None = None
    sitting: Sitting = field(default_factory=Sitting)
    listening: Listening = field(init=False)
    moved: MovedOutput = field(init=False)
    ticker: Ticker = field(init=False)
    _window_language: str = "en"
    _board: "Board | None" = None
    _calibrator: "Calibrator | None" = None
    _filling: "FillingIn | None" = None
    _shelf: "Shelf | None" = None
    _looked: bool = False

    def __post_init__(self) -> None:
        self.listening = Listening(self.practice.equipment)
        self.moved = MovedOutput(self.practice.equipment)
        now = self.keeper.now
        learner = self.practice.learner
        learner.name, learner.id = now.learner, now.learner_id or None
        self.ticker = self.practice.equipment.ticker = Ticker(self.practice.player, on=now.tap_tick)
        self.practice.notices = [*self.opening] or self.practice.notices

    @property
    def workers(self) -> Executor | None:
        """Workers for what takes long, or ``None``: then it is done at once."""
        return self.practice.ahead.workers

    @property
    def board(self) -> "Board":
        """The tutor's board, made when it is first asked for: the first screen does not need its modules."""
        if self._board is None:
            from app.practice.board.board import Board

            self._board = Board(self.practice.player, self.workers)
            self._board.choose(replace(self._board.phrase, way=self.keeper.now.way, language=self.language))
        return self._board

    @property
    def calibrator(self) -> "Calibrator":
        """The calibrator, made when it is first asked for."""
        if self._calibrator is None:
            from app.inputs.calibrator import Calibrator

            microphone = self.keeper.now.microphone or None
            self._calibrator = Calibrator(self.practice.equipment, microphone_device=microphone)
        return self._calibrator

    @property
    def shelf(self) -> "Shelf":
        """The list of the learner's records, made when it is first asked for."""
        if self._shelf is None:
            from app.practice.records.shelf import Shelf

            if self.practice.records is None:
                self.practice.records = OwnRecords()
            self._shelf = Shelf(self.practice.records)
        return self._shelf

    @property
    def shelf_loaded(self) -> bool:
        """Whether the modules of the list are there, to the last: a worker may still be reading them."""
        return hasattr(sys.modules.get(SHELF), "Shelf")

    def look_after_records(self) -> None:
        """Let the analysis of records stand still while anything sounds, and go on with what a sitting left."""
        records = self.practice.records
        if records is not None and records.known and not self._looked:
            self._looked = True
            if (records.catalogue.folder / WAITING).exists():
                self.shelf.begin()
        if self._shelf is not None:
            self._shelf.stand_still(self.practice.player.playing)

    def look_for_output(self) -> Say | None:
        """What to say where the system plays the sound elsewhere; an output that was left says no more."""
        said = self.moved.look()
        if said is not None:
            self.practice.notices = [each for each in self.practice.notices if each.template not in OF_OUTPUT]
        return said

    @property
    def language(self) -> str:
        """The language of the voice that counts."""
        return self.practice.ahead.language

    def records_share(self) -> float:
        """The share of a plan's trials that are on own records: none before enough of them are confirmed."""
        records, percent = self.practice.records, self.keeper.now.records_percent
        return percent / 100 if percent and records is not None and records.known and records.enough else 0.0

    def count_in(self, window: str) -> None:
        """Let the voice count in the language of the settings, or in that of the window (``window``)."""
        self._window_language = window
        chosen = self.keeper.now.voice
        self.practice.ahead.language = window if chosen == "window" else chosen
        if self._board is not None:
            self._board.choose(replace(self._board.phrase, language=self.language))

    def change(self, choices: dict[str, object]) -> Say | None:
        """Apply changed settings and keep them; returns what went wrong on disk, if anything.

        Another ``learner`` alone is another name of the present one, with ``learner_id`` somebody else.
        """
        practice = self.practice
        other = choices.get("learner_id", self.keeper.now.learner_id) != self.keeper.now.learner_id
        if not other and choices.get("learner", self.keeper.now.learner) != self.keeper.now.learner:
            try:
                choices["learner"] = self._renamed(str(choices["learner"]))
            except Trouble as slip:
                return slip.says
        trouble = self.keeper.change(**choices)
        now = self.keeper.now
        practice.learner.name = now.learner
        if other:
            practice.choose(wish_left(now))
            if practice.day is not None:
                practice.day.minutes, practice.day.chosen = now.minutes_a_day, now.chosen
            change_learner(practice, now.learner_id)
            practice.notices = [each for each in _tell_marking(self.keeper, practice.learner) if each is not None]
        if "way" in choices:
            practice.choose(replace(practice.wish, way=now.way))
            if self._board is not None:
                self._board.choose(replace(self._board.phrase, way=now.way))
        if "voice" in choices:
            self.count_in(self._window_language)
        if "tap_tick" in choices:
            self.ticker.on = now.tap_tick
            self.ticker.begin()
        if {"claps", "microphone"} & set(choices):
            self.listening.take_claps(now.claps, now.microphone)
        if "minutes_a_day" in choices and practice.day is not None and not other:
            practice.day.choose_minutes(now.minutes_a_day, practice.learner.key)
        if {"in_every_plan", "in_no_plan"} & set(choices) and practice.day is not None and not other:
            practice.day.choose_drills(now.chosen, practice.learner.key)
        return trouble

    def _renamed(self, name: str) -> str:
        """The name that a learner gets, in the logbook too if it knows them; ``Trouble`` if they cannot have it."""
        learner, name = self.practice.learner, good_name(name)
        if learner.logbook is not None and learner.logbook.number(learner.key) is not None:
            rename(learner.logbook, found_learner(learner.logbook, learner.key), name)
        return name

    def add_learner(self, name: str) -> Say:
        """Make another learner known, who does not practise yet; returns a line about it."""
        try:
            logbook = self.practice.learner.logbook
            return NOBODY_ADDED() if logbook is None else ADDED(label=add(logbook, name).label)
        except Trouble as trouble:
            return trouble.says

    def choices_of(self, id: str) -> dict[str, object]:
        """The settings that change if another learner practises; those of the present one are kept for later.

        ``Trouble`` if they cannot be, or for an unknown learner.
        """
        now, path = replace(self.keeper.now, **kept_wish(self.practice.wish)), self.keeper.path
        who = one_of(everyone(self.practice.learner)[0], id)
        loaded = of_learner(now, path, who, utc_now())
        keep_choices(now, path)
        for each in loaded.messages:
            log.warning("%s", each)
        new = {each.name: getattr(loaded.settings, each.name) for each in fields(Settings)}
        return {name: value for name, value in new.items() if value != getattr(self.keeper.now, name)}

    def forget_notices(self) -> None:
        """Drop the notices about a trial or the board; those from the start, or about marking, stay."""
        if self._board is not None:
            self._board.notice = None
        self.practice.notices = [each for each in self.practice.notices if each in (*self.opening, MARKED_ANEW())]

    def left(self, *, choices: bool) -> dict[str, object]:
        """What the settings keep of the practice when the window is closed, with the choice by hand or without."""
        wish, phase = self.practice.wish, self.practice.phase
        kept: dict[str, object] = {"mode": wish.mode.value, "trial_left": phase in (Phase.SOUNDING, Phase.ASKING)}
        return kept | kept_wish(wish) if choices else kept

    def warm_up(self, tell: Callable[[Say], object]) -> None:
        """Work that may follow the first paint: the plan, the sound output, sounds made ahead, copy, old truths.

        ``tell`` is given trouble with the copy, in the thread of a worker.
        """
        practice = self.practice
        if practice.day is not None and practice.day.today is None and not practice.day.making:
            practice.plan_day()  # then the first trial of it is made ahead
        if practice.records is not None and self.workers is not None:
            self.workers.submit(import_module, SHELF)  # else the first opening of their page would wait for it
        # From now on the stream plays silence: its clock has settled when the first trial starts.
        with suppress(Trouble):  # said when a trial is started
            practice.player.open()

        def copied(copy: Future[Say | None]) -> None:
            if copy.cancelled():
                return
            if slip := copy.exception():
                log.error("The day's copy of the logbook was not made.", exc_info=slip)
            elif say := copy.result():
                log.warning("%s", say)
                tell(say)

        if self.workers is not None:
            from app.practice.trial.takes_ahead import TakesAhead

            practice.ahead.rendering = TakesAhead()
        self.moved.watched.begin()
        settle()
        logbook = practice.learner.logbook
        if logbook is not None and self.workers is not None:
            # Behind the first trial, which is being made.
            if practice.records is not None:
                self.workers.submit(_read_records, practice.records)
            self.workers.submit(daily_copy, logbook.path, utc_now()).add_done_callback(copied)
            from app.practice.missing_truths import FillingIn

            self._filling = FillingIn(logbook.path, lambda: practice.player.playing)
            self._filling.begin()

    def close(self) -> None:
        """Close the inputs, the sound output, the logbook and the workers."""
        if self._filling is not None:
            self._filling.end()
        if self._shelf is not None:
            self._shelf.close()
        self.listening.close()
        self.moved.watched.end()
        self.ticker.close()
        self.practice.player.close()
        logbook = self.practice.learner.logbook
        if logbook is not None:
            logbook.close()
            self.practice.learner.logbook = None  # a later message must not read it
        if self.workers is not None:
            self.workers.shutdown(wait=True, cancel_futures=True)
        if self.practice.ahead.rendering is not None:
            self.practice.ahead.rendering.close()
        if logbook is not None:
            seal(logbook.path)
        if self.log_file is not None:
            self.log_file.close()


def _read_records(records: OwnRecords) -> int:
    """Read the list of records; how many there are."""
    return len(records.catalogue)


def open_session(named: Mapping[str, Any], loaded: Loaded | None = None) -> Session:
    """The session of this computer with the fields of a ``Wish`` that were named, otherwise as it was left.

    The settings are read unless they are ``loaded``.
    ``Trouble`` for an unknown drill, rung, groove or family of kits; the window reports a logbook that cannot be
    opened.
    """
    if "groove" in named:
        find_groove(named["groove"])
    if "kit_family" in named:
        check_family(named["kit_family"])
    loaded = loaded or load(settings_path(), utc_now())
    settings = loaded.settings
    try:
        opened = open_logbook(None, utc_now(), copy=False)
        logbook, notices = opened.logbook, list[Say | None](opened.messages)
    except Trouble as trouble:
        logbook, notices = None, [UNSAVED(trouble=trouble.says)]
    with suppress(Trouble):  # said when a trial is saved
        settings = present(loaded.settings, logbook)
    if logbook is not None and not loaded.settings.learner_id:
        adopt(plan_path(logbook.path), settings.learner, settings.learner_id, utc_now().astimezone().date())
    workers = ThreadPoolExecutor(1, "trial")
    player = Player(settings.sound_device or None, settings.sample_rate_hz, settings.latency_ms / 1000)
    ahead = Ahead(lambda: secrets.randbelow(2**31), workers)
    learner = PresentLearner(logbook, settings.learner, settings.learner_id or None)
    practice = Practice(Equipment.of_this_computer(player), learner, ahead)
    left = wish_left(settings)
    practice.choose(replace(Wish(left.drill, way=settings.way), **named) if named else left)
    practice.day = Planned(None if logbook is None else logbook.path, workers, settings.minutes_a_day)
    practice.day.chosen = settings.chosen
    practice.records = OwnRecords()
    if not named:
        practice.follow_day(practice.day)
    log_file = LogFile(log_path())
    log_file.open()
    broken: list[Trouble] = []
    grooves(broken=broken)
    notices += [practice.equipment.notice, *loaded.messages, *(each.says for each in broken)]
    keeper = Keeper(settings, settings_path())
    notices += _tell_marking(keeper, learner)
    notices += _tell_left(keeper)
    opening = tuple(each for each in notices if each is not None)
    session = Session(practice, keeper, opening, bool(named), log_file)
    practice.day.records = session.records_share
    return session


def _tell_marking(keeper: Keeper, learner: PresentLearner) -> list[Say | None]:
    """Once after an upgrade, where the learner has trials: that marking has changed."""
    if keeper.now.marking >= MARKING:
        return []
    try:
        known = learner.logbook is not None and learner.logbook.count(learner.key) > 0
    except Trouble:
        return []
    trouble = keeper.change(marking=MARKING)
    return [MARKED_ANEW(), trouble] if known else [trouble]


def _tell_left(keeper: Keeper) -> list[Say | None]:
    """Once after the window was closed during a trial: that it was not kept."""
    return [CLOSED(), keeper.change(trial_left=False)] if keeper.now.trial_left else []
