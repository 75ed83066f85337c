"""Wood blocks, a high and a low one: the learner's taps when a trial is heard again, told apart by ear."""

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.stroke import Stroke
from synth.sound.kit.voice import Strike, Voice

# Pitch of each kit's blocks in Hz: an octave and a fourth apart.
HIGH_HZ, LOW_HZ = (1050, 1150), (400, 440)


def block(low_hz: float, high_hz: float, decay_s: float) -> Strike:
    """A hollow block of wood: its air, its wood a fifth and more above, and the stick."""

    def strike(stroke: Stroke) -> Samples:
        t = s.seconds(8 * decay_s, stroke.rate)
        air_hz = stroke.between(low_hz, high_hz)
        air = s.sine(t, air_hz, 0.2) * s.decay(t, decay_s * stroke.between(0.9, 1.1))
        wood = s.sine(t, air_hz * stroke.between(1.55, 1.65), 0.2) * s.decay(t, 0.4 * decay_s)
        tick = s.noise(stroke.chance, len(t), stroke.rate, 1500, 7000) * s.decay(t, 0.002)
        return s.finish(s.drive(air + 0.35 * wood + 0.2 * tick, 1.0), stroke.rate)

    return strike


VOICES = (
    Voice("high_block", render=block(*HIGH_HZ, 0.02), level_db=1.0, pan=0.25, room_db=None),
    Voice("low_block", render=block(*LOW_HZ, 0.04), level_db=1.0, pan=0.25, room_db=None),
)
