"""Three toms, tuned as one set."""

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.stroke import Stroke
from synth.sound.kit.voice import Voice


def _tom(stroke: Stroke, step: int) -> Samples:
    """``step`` 0 is the lowest; the set's tuning and damping are drawn first and shared by its drums."""
    lowest, interval, damping = stroke.between(78, 98), stroke.between(1.28, 1.4), stroke.between(0.8, 1.25)
    hz = lowest * interval**step
    tau = 0.13 * damping * (1 - 0.12 * step)
    t = s.seconds(4 * tau, stroke.rate)
    head = s.swept(t, hz * 1.7, hz, 0.025, phase=0.08) * s.decay(t, tau)
    head += 0.35 * s.swept(t, hz * 2.5, hz * 1.59, 0.02, phase=0.15) * s.decay(t, 0.45 * tau)
    stick = s.noise(stroke.chance, len(t), stroke.rate, 1200, 5000) * s.decay(t, 0.004)
    air = s.noise(stroke.chance, len(t), stroke.rate, 150, 900) * s.decay(t, 0.03)
    return s.finish(s.drive(head + 0.16 * stick + 0.10 * air, 0.8), stroke.rate, fade_s=tau)


def high_tom(stroke: Stroke) -> Samples:
    return _tom(stroke, 2)


def mid_tom(stroke: Stroke) -> Samples:
    return _tom(stroke, 1)


def low_tom(stroke: Stroke) -> Samples:
    return _tom(stroke, 0)


VOICES = (
    Voice("high_tom", render=high_tom, level_db=-1.0, pan=0.3, family="toms"),
    Voice("mid_tom", render=mid_tom, level_db=-1.0, pan=0.0, family="toms"),
    Voice("low_tom", render=low_tom, level_db=-1.0, pan=-0.3, family="toms"),
)
