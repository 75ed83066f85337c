"""Why a recording cannot be read, and why it has no grid."""

from synth.base.words import Template

NOT_AUDIO = Template("recording.not_audio", "{path}: this is no sound that can be read.")
NO_FFMPEG = Template(
    "recording.no_ffmpeg",
    "{path}: this kind of sound is read by the program ffmpeg. Please install it, or tallybar[media].",
)
DAMAGED = Template("recording.damaged", "{path}: the sound is damaged or cut off.")
BROKEN = Template("recording.broken", "{path}: the sound is damaged or cut off after {seconds} s.")
NO_SOUND = Template("recording.no_sound", "{path}: there is no sound in this file.")
NOT_NUMBERS = Template("recording.not_numbers", "{path}: the sound holds values that are not numbers.")
TOO_LONG = Template("recording.too_long", "{path}: longer than {hours} hours.")
TOO_MANY = Template("recording.too_many_channels", "{path}: {channels} channels; at most {most} can be read.")
ODD_RATE = Template("recording.odd_rate", "{path}: {rate} samples a second; {low} to {high} can be read.")

CRASHED = Template("recording.crashed", "{path}: reading it broke off. The file is damaged, or of a rare kind.")
PATIENCE = Template("recording.patience", "{path}: reading it takes too long and was stopped.")
NO_PROCESS = Template("recording.no_process", "{path}: no process could be started to read it ({why}).")

# Of a sound that was read.
TOO_SHORT = Template("recording.too_short", "only {seconds} s of sound; at least {least} s are needed.")
NO_BEAT = Template("recording.no_beat", "no steady beat is heard in it.")
WANDERS = Template("recording.wanders", "the tempo wanders: beats are up to {ms} ms away from steady ones.")
FREE = Template("recording.free", "the tempo is free, or changes.")
NOT_FOUR = Template("recording.not_four", "it is not counted in four.")
