"""Audio files that are damaged, cut off or hostile: `records grid` finds a grid or refuses in one line.

The analysis runs in this process, since a process a case would take most of the time; that a crash of the worker is
one line is proven in ``tests/synth/catalogue/test_analysis.py``.
"""

import io
from functools import cache
from pathlib import Path
from random import Random

import numpy as np
import pytest
import soundfile

from tests.hostile.values import bytes_of
from tests.hostile.world import NAMES, Fell, World
from tests.synth.recording.drums import RATE_HZ, drums

FORMS = (("WAV", "PCM_16"), ("WAV", "FLOAT"), ("AIFF", "PCM_24"), ("FLAC", "PCM_16"), ("OGG", "VORBIS"))
FORMS += (("MP3", "MPEG_LAYER_III"),)


@cache
def whole(form: str, subtype: str) -> bytes:
    """A short recording with a grid, as a file."""
    samples = np.stack([drums(bars=12)[0]] * 2, axis=1)
    file = io.BytesIO()
    soundfile.write(file, samples, RATE_HZ, subtype=subtype, format=form)
    return file.getvalue()


def recordings(draw: Random, world: World) -> str:
    """A recording with changed bytes; half of them in its head."""
    data = whole(*draw.choice(FORMS))
    head = draw.choice((len(data), len(data), 64, 400))
    path: Path = world.out / f"recording{draw.choice(('.wav', '.mp3', '.ogg', '.m4a', ''))}"
    path.write_bytes(bytes_of(draw, data[:head]) + data[head:])
    before, beats = path.read_bytes(), world.out / "beats.txt"
    with pytest.MonkeyPatch.context() as patch:
        from synth.catalogue import analysis

        patch.setattr(analysis, "found_of", analysis.analysed)
        ran = world.run("records", "grid", path, "--beats", beats, *draw.choice(((), ("--json",))))
    if beats.exists() != (ran.status == 0) or path.read_bytes() != before:
        raise Fell("records grid: something half written")
    return NAMES[ran.status]
