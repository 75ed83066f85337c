"""Lines of the sound and the logbook as they may stand on a screen, known by their English text.

``synth`` and the logbook tell trouble in plain English lines, which commands print and the logbook keeps (the reason
why a trial was void). A screen shows them in its own language: ``lined`` finds which sentence a line is. A line that
is none of these, such as one about a file, stays as it is.
"""

import re
from functools import cache
from string import Formatter

from app.ui.words import spoken
from synth.base.errors import Trouble
from synth.base.words import Say, Template

LINES = (
    # What breaks the sound of a trial.
    Template("the sound ran dry"),
    Template("the sound stopped"),
    Template("the sound's timing shifted"),
    Template("the program was too busy to watch the sound"),
    Template("the sound was not served for {ms} ms, longer than its buffer"),
    Template("the microphone missed a part of what it was to hear"),
    Template("the computer slept, or its clock was set ({by} s)"),
    # The sound output.
    Template("The PortAudio library is missing: install libportaudio2 for sound."),
    Template("No sound output was found: connect one, or choose another."),
    Template("No sound output called {name} was found: connect one, or choose another."),
    Template("Several sound outputs are called {name}: choose one from the list."),
    Template("The sound output {name} refuses {rate} Hz: choose another rate."),
    Template("The sound output {name} is held by another program, or gone."),
    Template("The sound output {name} could not be opened: {why}"),
    Template("The sound output did not start: {why}"),
    # Microphone, MIDI, calibrations.
    Template("No microphone was found: connect one, or choose another."),
    Template("Several microphones are called {name}: choose one from the list."),
    Template("The microphone {name} refuses {rate} Hz: choose another rate."),
    Template("The microphone {name} is held by another program, or gone."),
    Template("The microphone {name} could not be opened: {why}"),
    Template("The microphone did not start: {why}"),
    Template("the package python-rtmidi is not installed"),
    Template("this system has no MIDI sequencer"),
    Template("The calibrations were written by a newer version of this program; they are left alone."),
    Template("The calibrations could not be read; please calibrate again."),
    Template("The calibrations could not be read; please calibrate again. The old file is {aside}."),
    Template("The calibrations could not be read ({why})."),
    # What a learner may type or choose.
    Template("{given} bars: an intro has at least one"),
    Template("{given} BPM: a tempo is more than nothing"),
    Template("Groove {name} has steps too fine for double time. Choose another one."),
    # The disk.
    Template("{path}: the logbook cannot be read ({why})"),
    Template("{path}: the logbook may not be written; practice would not be kept"),
    Template("{path}: the logbook's folder cannot be made ({why})"),
    Template("{path} cannot be written: {why}."),
    Template("The folder {path} cannot be made: {why}."),
    Template("{path}: the picture could not be written"),
)
BETWEEN = "; "


def lined(told: Trouble | str) -> str:
    """A line, or several with a semicolon between them, in the window's language."""
    text = str(told)
    parts = [text] if _known(text) else text.split(BETWEEN)
    return BETWEEN.join(spoken(known) if (known := _known(part)) else part for part in parts)


def _known(text: str) -> Say | None:
    for line, pattern in _patterns():
        if found := pattern.fullmatch(text):
            return line(**found.groupdict())
    return None


@cache
def _patterns() -> tuple[tuple[Template, re.Pattern[str]], ...]:
    return tuple((line, re.compile(_pattern(line))) for line in LINES)


def _pattern(line: str) -> str:
    return "".join(
        re.escape(text) + (f"(?P<{name}>.+?)" if name else "") for text, name, _, _ in Formatter().parse(line)
    )
