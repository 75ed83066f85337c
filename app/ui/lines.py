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
    Template("lines.lines.the_sound_ran_dry", "the sound ran dry"),
    Template("lines.lines.the_sound_stopped", "the sound stopped"),
    Template("lines.lines.the_sounds_timing_shifted", "the sound's timing shifted"),
    Template("lines.lines.the_program_was_too", "the program was too busy to watch the sound"),
    Template("lines.lines.the_sound_was_not", "the sound was not served for {ms} ms, longer than its buffer"),
    Template("lines.lines.the_microphone_missed_a", "the microphone missed a part of what it was to hear"),
    Template("lines.lines.the_computer_slept_or", "the computer slept, or its clock was set ({by} s)"),
    # The sound output.
    Template(
        "lines.lines.the_portaudio_library_is", "The PortAudio library is missing: install libportaudio2 for sound."
    ),
    Template("lines.lines.no_sound_output_was", "No sound output was found: connect one, or choose another."),
    Template(
        "lines.lines.no_sound_output_called",
        "No sound output called {name} was found: connect one, or choose another.",
    ),
    Template(
        "lines.lines.several_sound_outputs_are", "Several sound outputs are called {name}: choose one from the list."
    ),
    Template(
        "lines.lines.the_sound_output_refuses", "The sound output {name} refuses {rate} Hz: choose another rate."
    ),
    Template("lines.lines.the_sound_output_is", "The sound output {name} is held by another program, or gone."),
    Template("lines.lines.the_sound_output_could", "The sound output {name} could not be opened: {why}"),
    Template("lines.lines.the_sound_output_did", "The sound output did not start: {why}"),
    # Microphone, MIDI, calibrations.
    Template("lines.lines.no_microphone_was_found", "No microphone was found: connect one, or choose another."),
    Template(
        "lines.lines.several_microphones_are_called",
        "Several microphones are called {name}: choose one from the list.",
    ),
    Template(
        "lines.lines.the_microphone_refuses_hz", "The microphone {name} refuses {rate} Hz: choose another rate."
    ),
    Template("lines.lines.the_microphone_is_held", "The microphone {name} is held by another program, or gone."),
    Template("lines.lines.the_microphone_could_not", "The microphone {name} could not be opened: {why}"),
    Template("lines.lines.the_microphone_did_not", "The microphone did not start: {why}"),
    Template("lines.lines.the_package_python_rtmidi", "the package python-rtmidi is not installed"),
    Template("lines.lines.this_system_has_no", "this system has no MIDI sequencer"),
    Template(
        "lines.lines.the_calibrations_were_written",
        "The calibrations were written by a newer version of this program; they are left alone.",
    ),
    Template("lines.lines.the_calibrations_could_not", "The calibrations could not be read; please calibrate again."),
    Template(
        "lines.lines.the_calibrations_could_not.the_calibrations_could_not",
        "The calibrations could not be read; please calibrate again. The old file is {aside}.",
    ),
    Template("lines.lines.the_calibrations_could_not.2", "The calibrations could not be read ({why})."),
    # What a learner may type or choose.
    Template("lines.lines.bars_an_intro_has", "{given} bars: an intro has at least one"),
    Template("lines.lines.bpm_a_tempo_is", "{given} BPM: a tempo is more than nothing"),
    Template(
        "lines.lines.groove_has_steps_too", "Groove {name} has steps too fine for double time. Choose another one."
    ),
    # The disk.
    Template("lines.lines.the_logbook_cannot_be", "{path}: the logbook cannot be read ({why})"),
    Template("lines.lines.the_logbook_may_not", "{path}: the logbook may not be written; practice would not be kept"),
    Template("lines.lines.the_logbooks_folder_cannot", "{path}: the logbook's folder cannot be made ({why})"),
    Template("lines.lines.cannot_be_written", "{path} cannot be written: {why}."),
    Template("lines.lines.the_folder_cannot_be", "The folder {path} cannot be made: {why}."),
    Template("lines.lines.the_picture_could_not", "{path}: the picture could not be written"),
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
    return tuple((line, re.compile(_pattern(line.text))) for line in LINES)


def _pattern(line: str) -> str:
    return "".join(
        re.escape(text) + (f"(?P<{name}>.+?)" if name else "") for text, name, _, _ in Formatter().parse(line)
    )
