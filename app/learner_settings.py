"""Whose settings these are: the choices that follow a learner, and which learner practises.

The settings have the choices of the present learner; those of each other one are kept in ``learners/ID.toml`` beside
them, of the same form.
"""

from dataclasses import fields, replace
from datetime import datetime
from pathlib import Path
from uuid import uuid4

from app.settings import NOBODY, Loaded, Settings, load, text_of
from exercises.logbook.learners import LONGEST_NAME, Learner
from exercises.logbook.store import Logbook
from exercises.trial.versions import MARKING
from synth.base.border import shown
from synth.base.errors import Trouble
from synth.base.files import make_folder, write_text

FOLDER = "learners"
# Settings of the computer, and who practises; all others follow the learner.
OF_COMPUTER = {
    *("volume", "sound_device", "latency_ms", "sample_rate_hz", "microphone", "claps", "first_run_done", "others"),
    *("window_width_px", "window_height_px", "window_whole_screen", "learner", "learner_id", "trial_left"),
}
FOLLOWS = tuple(each.name for each in fields(Settings) if each.name not in OF_COMPUTER)
# What a learner begins with is as it was chosen last; the rest is as at first.
BEGINS_WITH = ("theme", "text_percent", "reduced_motion", "language", "voice", "way")


def learner_path(settings: Path, id: str) -> Path:
    """File of a learner's choices while another one practises."""
    return settings.with_name(FOLDER) / f"{id}.toml"


def named(settings: Settings, who: Learner) -> Settings:
    """The settings with this learner's id and name, the latter as far as it is fit for them."""
    return replace(settings, learner=shown(who.name, LONGEST_NAME).strip() or NOBODY, learner_id=who.id)


def present(settings: Settings, logbook: Logbook | None) -> Settings:
    """The settings with the learner as the logbook knows them; one who is new gets an id.

    Settings from before learners had ids name the first learner of that name. Raises ``Trouble`` as the logbook does.
    """
    known = [] if logbook is None else logbook.known()
    number = None if logbook is None or not settings.learner_id else logbook.number(settings.learner_id)
    for each in known:
        if each.number == number or (not settings.learner_id and each.name == settings.learner):
            return named(settings, each)
    return settings if settings.learner_id else replace(settings, learner_id=uuid4().hex)


def of_learner(settings: Settings, path: Path | None, who: Learner, now: datetime) -> Loaded:
    """The settings with another learner in place of the present one, whose choices are read, or begin."""
    if who.id == settings.learner_id:
        return Loaded(settings)
    file = None if path is None else learner_path(path, who.id)
    if file is not None and file.exists():
        theirs, messages = (loaded := load(file, now)).settings, loaded.messages
    else:
        begun = {name: getattr(settings, name) for name in BEGINS_WITH}
        theirs, messages = Settings(marking=MARKING, **begun), ()
    return Loaded(named(replace(settings, **{name: getattr(theirs, name) for name in FOLLOWS}), who), messages)


def keep_choices(settings: Settings, path: Path | None) -> None:
    """Keep the choices of the settings' learner in their own file; ``Trouble`` if it cannot be written."""
    if path is not None and settings.learner_id:
        file = learner_path(path, settings.learner_id)
        make_folder(file.parent)
        write_text(file, text_of(settings, FOLLOWS))


def forget_choices(path: Path, ids: list[str], now: datetime) -> Settings | None:
    """Delete the choices of learners; the settings without them, if they were theirs."""
    for id in ids:
        try:
            learner_path(path, id).unlink(missing_ok=True)
        except OSError as slip:
            raise Trouble(f"{learner_path(path, id)} may still hold choices of them: delete it yourself.") from slip
    loaded = load(path, now)
    if loaded.settings.learner_id not in ids:
        return None
    usual = Settings()
    return replace(loaded.settings, learner_id="", **{name: getattr(usual, name) for name in ("learner", *FOLLOWS)})
