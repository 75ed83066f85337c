"""What a rung is on a learner's own record: of its text only what does not depend on the program's own sound."""

from exercises.trial.trial import Help
from synth.base.words import Say, Template

SHEET_AND_VOICE = Template("on_record.sheet_and_voice", "sheet and voice count along")
SHEET_ALONE = Template("on_record.sheet", "the sheet counts along")
VOICE_ALONE = Template("on_record.voice", "a voice counts along")
VOICE_FIRST = Template("on_record.voice_first", "a voice counts the first bars")
NO_HELP = Template("on_record.no_help", "without help")
BOTH = Template("on_record.both", "{what}; {help}")


def on_records(help: Help, what: Say | None) -> Say:
    """The help of a rung in words, behind what else it asks, if anything."""
    if help.sheet:
        words = SHEET_AND_VOICE() if help.voice else SHEET_ALONE()
    elif help.voice:
        words = VOICE_ALONE() if help.voice_beats is None else VOICE_FIRST()
    else:
        words = NO_HELP()
    return words if what is None else BOTH(what=what, help=words)
