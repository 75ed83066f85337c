"""Interruptions of a stream: each is found, is told once, and the line starts anew after it."""

import numpy as np
import pytest

from synth.device.callbacks import UNDERFLOW
from synth.device.stream_clock import StreamClock
from synth.device.stream_faults import StreamFaults
from tests.synth.device.noted import BLOCK, RATE_HZ, fill, late

pytestmark = pytest.mark.sampled(3)


def test_callbacks_in_time_are_no_fault():
    """Jitter below the buffer's length breaks nothing."""
    clock = StreamClock(RATE_HZ, 0.1)
    faults = StreamFaults(clock)
    truth = fill(clock, 5, late_s=late(7, 0.01))
    assert faults.look(truth(clock.notes.count * BLOCK) - 0.1) == ()


def test_a_gap_longer_than_the_buffer_is_a_stall_without_any_flag():
    """138 ms against a buffer of 100 ms is found though the host says nothing, and told once."""
    clock = StreamClock(RATE_HZ, 0.1)
    faults = StreamFaults(clock)
    fill(clock, 2)
    faults.look(52.0)
    last = 50.0 - 0.1 + (clock.notes.count - 1) * BLOCK / RATE_HZ
    frame = clock.notes.count * BLOCK
    clock.notes.note(frame, last + 0.138, 0.1, 0)
    (fault,) = faults.look(last + 0.14)
    assert (fault.kind, fault.frame) == ("stall", frame)
    assert "138 ms" in str(fault)
    assert faults.look(last + 0.15) == ()


def test_an_underflow_flag_is_a_fault():
    """What the host admits is believed."""
    clock = StreamClock(RATE_HZ, 0.1)
    faults = StreamFaults(clock)
    fill(clock, 2)
    clock.notes.note(clock.notes.count * BLOCK, 51.9, 0.1, UNDERFLOW)
    assert [fault.kind for fault in faults.look(51.9)] == ["underflow"]


def test_half_a_second_without_callbacks_is_silence():
    """A device that has gone calls no more; told once, until it calls again."""
    clock = StreamClock(RATE_HZ, 0.1)
    faults = StreamFaults(clock)
    fill(clock, 2)
    faults.look(51.9)
    assert faults.look(52.2) == ()
    assert [fault.kind for fault in faults.look(52.5)] == ["silence"]
    assert faults.look(52.6) == ()


def test_after_a_break_the_line_starts_anew():
    """What is heard after a hole of 0.4 s is heard 0.4 s later, and the old notes don't pull it back."""
    clock = StreamClock(RATE_HZ, 0.1)
    faults = StreamFaults(clock)
    fill(clock, 3)
    faults.look(52.9)
    truth = fill(clock, 3, start_s=53.4, frame=clock.notes.count * BLOCK)
    assert [fault.kind for fault in faults.look(56.3)] == ["stall"]
    assert clock.heard_s(RATE_HZ * 5) == pytest.approx(truth(RATE_HZ * 5), abs=1e-4)


def test_a_lasting_step_without_gap_or_flag_is_found():
    """Every callback 30 ms later than the line says: something was lost on the way."""
    clock = StreamClock(RATE_HZ, 0.1)
    faults = StreamFaults(clock)
    fill(clock, 5)
    clock.line()
    faults.look(54.9)
    truth = fill(clock, 2, start_s=50 + clock.notes.count * BLOCK / RATE_HZ + 0.03, frame=clock.notes.count * BLOCK)
    assert [fault.kind for fault in faults.look(57)] == ["moved"]
    assert clock.heard_s(RATE_HZ * 7) == pytest.approx(truth(RATE_HZ * 7), abs=1e-3)


def watched(clock, faults, seconds, every=3, **more):
    """Note callbacks as ``fill`` does, looked after every so many of them; give the kinds of what was found."""
    source, kinds = StreamClock(RATE_HZ, 0.1), []
    fill(source, seconds, frame=clock.notes.count * BLOCK, **more)
    for at in range(source.notes.count):
        clock.notes.note(int(source.notes.frame[at]), source.notes.arrived_s[at], source.notes.lead_s[at], 0)
        if at % every == 0:
            kinds += [fault.kind for fault in faults.look(source.notes.arrived_s[at])]
            clock.line()
    return kinds


@pytest.mark.proof
@pytest.mark.parametrize("every", [3, 60])
@pytest.mark.parametrize("step_s", [0.15, -0.06])
def test_a_lasting_step_of_the_lead_alone_is_found(step_s, every):
    """Headphones plugged in: callbacks run on as before, and the host says that the way has become another."""
    clock = StreamClock(RATE_HZ, 0.3)
    faults = StreamFaults(clock)
    assert watched(clock, faults, 5, lead_s=0.1, late_s=late(3)) == []
    start_s = 50 + clock.notes.count * BLOCK / RATE_HZ + step_s
    assert watched(clock, faults, 5, every=every, lead_s=0.1 + step_s, start_s=start_s, late_s=late(4)) == ["moved"]
    frame = clock.notes.count * BLOCK
    assert clock.heard_s(frame) == pytest.approx(50 + frame / RATE_HZ + step_s, abs=1e-3)


@pytest.mark.proof
@pytest.mark.parametrize(("wander_s", "blocks"), [(0.008, [1, 3, 6]), (0.1, [3])])
def test_a_lead_that_wanders_is_no_step(wander_s, blocks):
    """A server that fetches so many blocks at a time, and tells a lead that strays within a minute there and back.

    75 s of it: what comes by chance once in 25 s is found with probability 0.95.
    """
    clock = StreamClock(RATE_HZ, 0.1)
    faults = StreamFaults(clock)
    random = np.random.default_rng(12)
    count = round(75 * RATE_HZ / BLOCK)
    at_once = np.repeat(random.choice(blocks, count // 96 + 1), 96)[:count]
    portions = -(np.arange(count) % at_once) * BLOCK / RATE_HZ
    strays = wander_s * np.sin(np.arange(count) * BLOCK / RATE_HZ / 60 * 2 * np.pi) + random.normal(0, 0.002, count)
    lateness = portions + random.exponential(0.003, count)
    for at in range(count):
        due_s = 50.0 + at * BLOCK / RATE_HZ
        clock.notes.note(at * BLOCK, due_s - 0.2 + lateness[at], 0.2 - lateness[at] + strays[at], 0)
        if at % 7 == 0:  # every 75 ms: the stretches that are compared last half a second
            assert faults.look(due_s - 0.2 + lateness[at], 0.3) == ()
            clock.line()


def test_notes_lost_by_a_program_too_busy_are_said():
    """When the ring ran over between two looks nobody knows what happened."""
    clock = StreamClock(RATE_HZ, 0.1, size=256)
    faults = StreamFaults(clock)
    fill(clock, 1)
    faults.look(50.9)
    truth = fill(clock, 4, start_s=51.0, frame=clock.notes.count * BLOCK)
    assert "lost" in [fault.kind for fault in faults.look(truth(clock.notes.count * BLOCK) - 0.1)]


def test_after_notes_were_lost_the_line_starts_anew():
    """A hole of 0.3 s that nobody watched: the notes before it do not pull the line back."""
    clock = StreamClock(RATE_HZ, 0.1, size=256)
    faults = StreamFaults(clock)
    fill(clock, 1)
    faults.look(50.9)
    fill(clock, 3, start_s=51.0, frame=clock.notes.count * BLOCK)
    truth = fill(clock, 1, start_s=54.3, frame=clock.notes.count * BLOCK)
    assert [fault.kind for fault in faults.look(55.2)] == ["lost"]
    assert clock.heard_s(clock.notes.count * BLOCK) == pytest.approx(truth(clock.notes.count * BLOCK), abs=1e-3)
