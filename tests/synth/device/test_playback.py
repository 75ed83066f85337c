"""The player on a device in virtual time: exact frames, true moments, and every fault caused on purpose."""

import gc
import sys
import tracemalloc

import numpy as np
import pytest

from synth.base.errors import Trouble
from synth.device import playback
from synth.device.playback import Player
from tests.synth.device.fake_stream import FakeSound, Status, When

pytestmark = pytest.mark.sampled(3)

RATE_HZ = 48_000


def noise(seconds, channels=2, seed=0):
    """Samples in which no two places are alike."""
    shape = (round(seconds * RATE_HZ), channels)
    return np.random.default_rng(seed).uniform(-0.9, 0.9, shape).astype(np.float32)


def player_on(sound, **more):
    """A player of which the fake device is the only way out."""
    player = Player(open_stream=sound.open, now=sound.now, awake=sound.awake, **more)
    player.gain = 1.0
    player.open()
    sound.run(2.0, player)
    return player


def late(seed=0, scale_s=0.004):
    """Draws of how late a callback comes."""
    random = np.random.default_rng(seed)
    return lambda: min(random.exponential(scale_s), 0.05)


# -- what is played -----------------------------------------------------------------------------------------------


def test_silence_until_the_exact_frame_then_the_samples_then_silence():
    """A sound starts inside a block, on the frame that the player says, and nothing else is heard."""
    sound = FakeSound()
    player = player_on(sound)
    samples = noise(1.01)
    player.play(samples, delay_s=0.1234)
    sound.run(3, player)
    start = round((player.heard_start_s() - sound.heard_s(0)) * RATE_HZ)
    assert start % player.block_frames != 0
    assert np.array_equal(sound.out[start : start + len(samples)], samples)
    assert not sound.out[:start].any()
    assert not sound.out[start + len(samples) :].any()


def test_what_is_skipped_is_not_waited_for_and_the_sound_keeps_its_time():
    """Times count from the first frame of the samples, whether it is heard or not."""
    sound = FakeSound()
    player = player_on(sound)
    samples, skipped = noise(1.01), 12_000
    asked_s = sound.now_s
    player.play(samples, delay_s=0.1, skip_s=skipped / RATE_HZ)
    sound.run(3, player)
    origin = round((player.heard_start_s() - sound.heard_s(0)) * RATE_HZ)
    start = origin + skipped
    assert np.array_equal(sound.out[start : origin + len(samples)], samples[skipped:])
    assert not sound.out[:start].any()
    assert player.trial_s(sound.heard_s(start)) == pytest.approx(skipped / RATE_HZ, abs=1e-4)
    assert 0.1 <= sound.heard_s(start) - asked_s < 0.1 + 0.2


def test_the_first_sample_comes_at_least_the_delay_later():
    """The delay counts from what is already on its way to the device."""
    sound = FakeSound()
    player = player_on(sound)
    asked_s = sound.now_s
    player.play(noise(0.5), delay_s=0.2)
    assert 0.2 + 0.05 < player.heard_start_s() - asked_s < 0.2 + 0.15


def test_volume_starts_low_and_scales_in_place():
    """A quarter of full scale at first; the samples themselves are never changed."""
    sound = FakeSound()
    player = Player(open_stream=sound.open, now=sound.now, awake=sound.awake)
    samples = noise(0.3)
    before = samples.copy()
    player.play(samples)
    sound.run(1, player)
    assert player.gain == 0.25
    assert np.abs(sound.out).max() == pytest.approx(0.25 * np.abs(samples).max())
    assert np.array_equal(samples, before)


def test_volume_glides_without_a_click():
    """A change of volume is spread over a block: no step larger than a few thousandths."""
    sound = FakeSound()
    player = player_on(sound)
    player.play(np.full((RATE_HZ, 2), 0.8, np.float32))
    sound.run(0.5, player)
    player.gain = 0.1
    sound.run(0.3, player)
    steps = np.abs(np.diff(sound.out[-round(0.4 * RATE_HZ) :, 0]))
    assert sound.out[-1, 0] == pytest.approx(0.08)
    assert steps.max() < 0.003


def test_stop_fades_within_a_block():
    """Escape: silence after one block, without a click, and the trial is over."""
    sound = FakeSound()
    player = player_on(sound)
    player.play(np.full((RATE_HZ, 2), 0.8, np.float32))
    sound.run(0.5, player)
    played = len(sound.out)
    player.stop()
    sound.run(0.3, player)
    tail = sound.out[played:, 0]
    assert not player.playing
    assert np.abs(np.diff(tail)).max() < 0.003
    assert not tail[player.block_frames :].any()


def test_stopped_before_its_start_a_trial_is_not_heard():
    """Not even its first block."""
    sound = FakeSound()
    player = player_on(sound)
    player.play(noise(1), delay_s=0.3)
    player.stop()
    sound.run(1, player)
    assert not sound.out.any()


def test_a_second_play_replaces_the_first():
    """Only the new samples are heard, at full volume, even right after a stop."""
    sound = FakeSound()
    player = player_on(sound)
    player.play(noise(1, seed=1))
    player.stop()
    second = noise(0.4, seed=2)
    player.play(second)
    sound.run(2, player)
    start = round((player.heard_start_s() - sound.heard_s(0)) * RATE_HZ)
    assert np.array_equal(sound.out[start : start + len(second)], second)


def begin_of(player, sound):
    """The frame of the stream on which the present sound starts."""
    return round((player.heard_start_s() - sound.heard_s(0)) * RATE_HZ)


def test_what_is_replaced_fades_within_a_block_and_the_new_sound_keeps_its_edge():
    """Steps from beat to beat do not click, and the first frame of the next one is at full volume."""
    sound = FakeSound()
    player = player_on(sound)
    player.play(np.full((2 * RATE_HZ, 2), 0.8, np.float32))
    sound.run(0.5, player)
    played, second = len(sound.out), noise(0.4, seed=2)
    player.play(noise(0.1, seed=3), delay_s=0)  # never heard: replaced before its first frame
    player.play(second, delay_s=0)
    sound.run(1, player)
    start = begin_of(player, sound)
    assert np.array_equal(sound.out[start : start + len(second)], second)
    assert np.abs(np.diff(sound.out[played - 512 : start, 0])).max() < 0.003
    assert sound.out[start - 1, 0] == pytest.approx(0, abs=0.003)


# -- loops --------------------------------------------------------------------------------------------------------


@pytest.mark.sweep(1)
@pytest.mark.parametrize("loop_frames", [512, 513, 10_007, 30_000])
def test_a_loop_comes_round_on_the_very_frame(loop_frames):
    """After the samples their last part follows again and again, not a frame more or less, whatever the block."""
    sound = FakeSound()
    player = player_on(sound)
    samples = noise(30_000 / RATE_HZ)
    player.play(samples, loop_frames=loop_frames)
    sound.run(4, player)
    start = begin_of(player, sound)
    heard = sound.out[start:]
    again = np.tile(samples[-loop_frames:], (len(heard) // loop_frames + 1, 1))
    assert np.array_equal(heard, np.concatenate([samples, again])[: len(heard)])
    assert player.playing
    assert player.faults == ()
    assert player.position_s() > 2 * len(samples) / RATE_HZ
    player.stop()
    sound.run(0.1, player)
    assert not player.playing
    assert not sound.out[-512:].any()


def test_parts_are_exchanged_without_losing_the_place():
    """The other samples go on from the same frame of the loop; between the two lies one block of both."""
    sound = FakeSound()
    player = player_on(sound)
    first, second = noise(0.5, seed=1), noise(0.5, seed=2)
    player.play(first, loop_frames=9_000)
    sound.run(1.3, player)
    start, changed = begin_of(player, sound), len(sound.out)
    player.exchange(second)
    sound.run(1, player)
    heard = sound.out[start:]

    def played(samples):
        again = np.tile(samples[-9_000:], (len(heard) // 9_000 + 1, 1))
        return np.concatenate([samples, again])[: len(heard)]

    here = changed - start
    assert np.array_equal(heard[:here], played(first)[:here])
    assert np.array_equal(heard[here + 512 :], played(second)[here + 512 :])
    rise = (np.arange(1, 513) / 512)[:, None]
    both = played(first)[here : here + 512] * (1 - rise) + played(second)[here : here + 512] * rise
    np.testing.assert_allclose(heard[here : here + 512], both, atol=1e-6)


def test_nothing_is_exchanged_where_nothing_plays():
    """A part muted after the stop is no reason to sound."""
    sound = FakeSound()
    player = player_on(sound)
    player.exchange(noise(0.5))
    sound.run(0.2, player)
    assert not sound.out.any()


def test_a_mono_device_hears_the_middle():
    """One channel gets the mean of both."""
    sound = FakeSound(channels=1)
    player = player_on(sound)
    samples = noise(0.3)
    player.play(samples)
    sound.run(1, player)
    heard = sound.out[sound.out[:, 0] != 0, 0]
    assert np.allclose(heard, samples.mean(axis=1)[samples.mean(axis=1) != 0])


def test_a_device_of_eight_channels_hears_two():
    """The first two channels play, the others stay silent; mono samples go to both."""
    sound = FakeSound(channels=8)
    player = player_on(sound)
    samples = noise(0.3, channels=1)
    player.play(samples[:, 0])
    sound.run(1, player)
    assert sound.out[:, 0].any()
    assert np.array_equal(sound.out[:, 0], sound.out[:, 1])
    assert not sound.out[:, 2:].any()


# -- when it is heard ---------------------------------------------------------------------------------------------


@pytest.mark.proof
@pytest.mark.parametrize(("burst", "drift"), [(1, 0.0), (3, 200e-6)])
def test_moments_become_seconds_of_the_trial(burst, drift):
    """Jitter, and bursts of a device that is off by 200 ppm: a tap's place in a trial of 30 s is true to 0.5 ms.

    A fault of one of the two shows beside the other, too; ``test_stream_faults`` has each by itself.
    """
    sound = FakeSound(burst=burst, drift=drift, late_s=late())
    player = player_on(sound)
    sound.run(10, player)
    player.play(noise(30, channels=1))
    sound.run(32, player)
    start = player._cue.start_frame
    for wanted_s in (0.0, 12.3, 29.9):
        tapped_s = sound.heard_s(start + wanted_s * RATE_HZ)
        assert player.trial_s(tapped_s) == pytest.approx(wanted_s, abs=5e-4)
    assert player.faults == ()
    assert not player.clock.estimated


def test_calibration_shifts_what_is_heard():
    """A lag found by calibration is added once."""
    sound = FakeSound()
    player = player_on(sound)
    player.play(noise(1))
    start_s = player.heard_start_s()
    player.lag_s = 0.015
    assert player.heard_start_s() == pytest.approx(start_s + 0.015)
    assert player.trial_s(start_s + 0.015) == pytest.approx(0, abs=1e-6)


def test_without_leads_the_time_is_estimated_and_says_so():
    """A host that always says zero: its latency stands in, and the source is named."""
    sound = FakeSound(reports_lead=False)
    player = player_on(sound)
    player.play(noise(1))
    assert player.clock.estimated
    assert player.heard_start_s() == pytest.approx(sound.heard_s(player._cue.start_frame), abs=1e-3)


def test_position_runs_with_the_sound():
    """Negative before the start; playing ends when the last frame has been heard."""
    sound = FakeSound()
    player = player_on(sound)
    player.play(noise(1))
    assert player.position_s() < -0.1
    sound.run(0.7, player)
    assert player.playing
    assert player.position_s() == pytest.approx(sound.now_s - player.heard_start_s(), abs=1e-6)
    sound.run(1, player)
    assert not player.playing


def test_what_the_stream_does_later_leaves_a_finished_trial_alone():
    """A break after the trial's end moves neither its start nor its taps."""
    sound = FakeSound()
    player = player_on(sound)
    player.play(noise(1))
    sound.run(2, player)
    start_s = player.heard_start_s()
    sound.stall(0.4)
    sound.run(2, player)
    assert player.heard_start_s() == start_s
    assert player.faults == ()


# -- faults -------------------------------------------------------------------------------------------------------


def in_the_middle_of_a_trial(**more):
    """A player that has been sounding for a second."""
    sound = FakeSound(**more)
    player = player_on(sound)
    player.play(noise(4))
    sound.run(1, player)
    assert player.faults == ()
    return sound, player


def test_callbacks_stalled_without_a_flag_are_a_fault():
    """A hole in the sound that no host admits makes the trial void."""
    sound, player = in_the_middle_of_a_trial()
    sound.stall(0.138)
    sound.run(0.2, player)
    assert [fault.kind for fault in player.faults] == ["stall"]
    assert "ms" in str(player.faults[0])


def test_callbacks_late_within_the_buffer_are_none():
    """A collection that held everything up for 60 ms is covered by the buffer: same start, no fault."""
    sound, player = in_the_middle_of_a_trial()
    start_s = player.heard_start_s()
    sound.stall(0.06)
    sound.run(1, player)
    assert player.faults == ()
    assert player.heard_start_s() == pytest.approx(start_s, abs=5e-4)


def test_a_window_that_hangs_for_200_ms_does_no_harm():
    """The timer looks away; the sound thread goes on."""
    sound, player = in_the_middle_of_a_trial()
    start_s = player.heard_start_s()
    sound.run(0.2)
    sound.run(0.5, player)
    assert player.faults == ()
    assert player.heard_start_s() == pytest.approx(start_s, abs=1e-6)


def test_an_underflow_that_the_host_admits_is_a_fault():
    """A flag alone is enough, without any long gap."""
    sound, player = in_the_middle_of_a_trial()
    sound.dry = True
    sound.run(0.1, player)
    assert [fault.kind for fault in player.faults] == ["underflow"]


@pytest.mark.parametrize("when", ["before", "after"])
def test_faults_outside_the_trial_do_not_void_it(when):
    """A hole before its first frame or after its last was not part of what was to be heard."""
    sound = FakeSound()
    player = player_on(sound)
    if when == "before":
        player.play(noise(1), delay_s=0.8)
        sound.stall(0.2)
        sound.run(1, player)
    else:
        player.play(noise(1))
        while len(sound.out) < player._cue.end_frame + 512:
            sound.run(0.01, player)
        sound.stall(0.15)
    sound.run(2, player)
    assert player.faults == ()


def test_a_hole_before_the_start_is_allowed_for():
    """The trial is then heard later, and the player knows by how much."""
    sound = FakeSound()
    player = player_on(sound)
    player.play(noise(2), delay_s=0.8)
    sound.stall(0.3)
    sound.run(2, player)
    assert player.heard_start_s() == pytest.approx(sound.heard_s(player._cue.start_frame), abs=5e-4)


def test_a_device_that_goes_silent_ends_the_trial_and_is_opened_again():
    """Unplugged, or its server killed: void within 0.6 s, and the next trial opens the device anew."""
    sound, player = in_the_middle_of_a_trial()
    sound.served = False
    sound.run(0.6, player)
    assert [fault.kind for fault in player.faults] == ["silence"]
    assert not player.playing
    assert not player.running
    player.play(noise(1))
    sound.run(3, player)
    assert (sound.opened, sound.closed) == (2, 1)
    assert player.faults == ()
    assert player.heard_start_s() == pytest.approx(sound.heard_s(player._cue.start_frame), abs=5e-4)
    assert sound.out.any()


def test_a_device_that_never_calls_is_noticed():
    """Opened, started, and then nothing: the trial is void instead of waiting for ever."""
    sound = FakeSound()
    sound.start = lambda: None
    player = Player(open_stream=sound.open, now=sound.now, awake=sound.awake)
    player.play(noise(1))
    assert player.position_s() < 0
    sound.run(3.1, player)
    assert [fault.kind for fault in player.faults] == ["silence"]
    assert not player.playing


def test_while_the_device_is_away_trouble_says_so_and_later_it_plays():
    """Each start asks again; practice goes on without a restart of the program."""
    sound, player = in_the_middle_of_a_trial()
    sound.served = False
    sound.run(0.6, player)
    sound.refuses = "No sound output was found. Connect an output, or choose another."
    with pytest.raises(Trouble, match="No sound output"):
        player.play(noise(1))
    assert not player.playing
    player.poll()
    sound.refuses = None
    player.play(noise(1))
    sound.run(2, player)
    assert player.faults == ()
    assert sound.out.any()


@pytest.mark.parametrize("served", [True, False])
def test_a_device_that_died_unseen_is_opened_again_by_the_next_trial(served):
    """Gone since the last look, or never there: the silence is not taken for an old fault of no concern."""
    sound = FakeSound()
    if not served:
        sound.start = lambda: None
    player = player_on(sound)
    sound.served = False
    sound.run(3.1)
    player.play(noise(1))
    assert sound.opened == 2
    assert player.playing
    assert player.faults == ()


def test_opening_opens_a_broken_stream_anew():
    """Before a microphone listens, not under it: looking for devices again would end its stream."""
    sound = FakeSound()
    player = player_on(sound)
    sound.served = False
    sound.run(0.6)
    player.open()
    assert (sound.opened, sound.closed) == (2, 1)
    assert player.running
    player.play(noise(1))
    assert sound.opened == 2


def test_a_trial_keeps_its_moments_when_its_device_does_not_come_back():
    """The taps of the trial that broke have their places, as before the next attempt failed."""
    sound, player = in_the_middle_of_a_trial()
    sound.served = False
    sound.run(0.6, player)
    start_s = player.heard_start_s()
    sound.refuses = "No sound output was found. Connect an output, or choose another."
    with pytest.raises(Trouble):
        player.play(noise(1))
    assert player.heard_start_s() == start_s
    assert player.trial_s(start_s + 0.7) == pytest.approx(0.7, abs=1e-4)
    assert player.position_s() == pytest.approx(sound.now_s - start_s, abs=1e-3)


@pytest.mark.parametrize("watched", [True, False])
def test_a_hole_between_the_last_frames_handing_over_and_its_hearing_moves_nothing(watched):
    """The trial was heard before the hole: neither its start nor its taps follow what is heard after it."""
    sound = FakeSound()
    player = player_on(sound)
    player.play(noise(1))
    true_s = sound.heard_s(player._cue.start_frame)
    while len(sound.out) < player._cue.end_frame + 512:
        sound.run(0.01, player if watched else None)
    assert sound.now_s < sound.heard_s(player._cue.end_frame)
    sound.stall(0.4)
    sound.run(1, player)
    assert player.faults == ()
    assert not player.playing
    assert player.heard_start_s() == pytest.approx(true_s, abs=5e-4)
    assert player.trial_s(true_s + 0.5) == pytest.approx(0.5, abs=5e-4)


def test_what_came_before_a_hole_keeps_its_place_in_the_sound():
    """However often the stream is looked at after it; what is heard since then lies elsewhere."""
    sound, player = in_the_middle_of_a_trial()
    begin, true_s = player._cue.start_frame, sound.heard_s(player._cue.start_frame)
    sound.stall(0.4)
    for _ in range(3):
        sound.run(0.1, player)
        assert [fault.kind for fault in player.faults] == ["stall"]
        assert player.whole_s(true_s + 0.5) == pytest.approx(0.5, abs=5e-4)
        assert player.trial_s(sound.heard_s(begin + RATE_HZ)) == pytest.approx(1.0, abs=5e-4)
    player.play(noise(1))
    sound.run(1, player)
    assert player.whole_s(sound.heard_s(player._cue.start_frame) + 0.5) == pytest.approx(0.5, abs=5e-4)


def test_a_sound_that_was_moved_has_a_time_before_the_next_callback():
    """The window draws the place in it meanwhile: as if the new output were heard as late as the old one."""
    _, player = in_the_middle_of_a_trial()
    before_s = player.position_s()
    player.moved()
    assert player.position_s() == pytest.approx(before_s, abs=5e-3)
    player.poll()
    assert [fault.kind for fault in player.faults] == ["rerouted"]


def test_a_trial_that_nobody_watched_is_void():
    """So many callbacks since the last look that the oldest are forgotten: what happened to the trial is unknown."""
    sound = FakeSound()
    player = player_on(sound)
    player.play(np.zeros(170 * RATE_HZ, np.float32))
    sound.run(176)
    player.poll()
    assert [fault.kind for fault in player.faults] == ["lost"]


def test_a_suspended_computer_is_noticed():
    """The clock stood still while the computer slept: what was heard meanwhile cannot be marked."""
    sound, player = in_the_middle_of_a_trial()
    sound.slept_s = 1_800.0
    sound.run(0.1, player)
    assert [fault.kind for fault in player.faults] == ["jump"]
    sound.run(4, player)
    player.play(noise(1))
    sound.run(2, player)
    assert player.faults == ()


def test_a_suspend_between_trials_concerns_none():
    """Sleep while nothing plays leaves the next trial valid."""
    sound = FakeSound()
    player = player_on(sound)
    sound.slept_s = 1_800.0
    player.play(noise(1))
    sound.run(2, player)
    assert player.faults == ()


def test_each_fault_is_told_once():
    """Ten underflows are one line for a person."""
    sound, player = in_the_middle_of_a_trial()
    for _ in range(10):
        sound.dry = True
        sound.run(0.05, player)
    assert len(player.faults) == 1


# -- opening ------------------------------------------------------------------------------------------------------


def test_a_stream_that_does_not_start_is_closed_and_said():
    """The device is given back at once."""
    sound = FakeSound()

    def fail():
        raise RuntimeError("Unanticipated host error")

    sound.start = fail
    player = Player(open_stream=sound.open, now=sound.now, awake=sound.awake)
    with pytest.raises(Trouble, match="did not start"):
        player.open()
    assert sound.closed == 1
    assert not player.running


def test_open_and_close_come_in_pairs():
    """Opening twice opens once; leaving the context gives the device back."""
    sound = FakeSound()
    with Player(open_stream=sound.open, now=sound.now, awake=sound.awake) as player:
        player.open()
        assert player.running
    assert (sound.opened, sound.closed) == (1, 1)
    assert not player.running


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (lambda player: player.play(noise(1), loop_frames=2), "in seconds"),
        (lambda player: player.play(noise(0.5), loop_frames=RATE_HZ), "512 to 24000"),
        (lambda player: (player.play(noise(1)), player.exchange(noise(0.5))), "one length"),
        (lambda player: player.play(np.zeros((0, 2), np.float32)), "not empty"),
        (lambda player: player.play(np.zeros((9, 3), np.float32)), "shape"),
        (lambda player: player.play(np.zeros(9, np.float32), delay_s=-1), "negative"),
        (lambda player: setattr(player, "gain", 50), "percent"),
        (lambda player: player.heard_start_s(), "nothing has been played"),
        (lambda player: Player(sample_rate_hz=48), "kHz"),
        (lambda player: Player(latency_s=80), "milliseconds"),
    ],
)
def test_wrong_calls_name_the_likely_slip(wrong, said):
    """Values out of range are the caller's mistake."""
    with pytest.raises(ValueError, match=said):
        wrong(player_on(FakeSound()))


# -- the sound thread ---------------------------------------------------------------------------------------------


def test_a_callback_makes_no_arrays():
    """Its memory stays below a block's: it copies, scales in place and notes, no more."""
    sound = FakeSound()
    player = player_on(sound)
    player.play(noise(0.1), delay_s=0, loop_frames=700)
    sound.run(0.05)
    out, when, status = np.zeros((512, 2), np.float32), When(1.0, 1.1), Status()
    player.gain = 0.5
    player.exchange(noise(0.1))
    for _ in range(2):  # once before: numpy keeps which loop it takes for which types
        player._callback(out, 512, when, status)
    peaks = []
    for gain in (1.0, 0.3, 0.3, 0.9):
        player.gain = gain  # glides in the first of two blocks, as the parts are exchanged
        player.exchange(noise(0.1, seed=round(10 * gain)))
        tracemalloc.start()
        player._callback(out, 512, when, status)
        player._callback(out, 512, when, status)
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    assert max(peaks) < 512 * 4


def test_settling_freezes_what_is_loaded_and_shortens_the_switch():
    """Collections skip what is loaded, and a waiting sound thread gets its turn within half a millisecond."""
    before_s = sys.getswitchinterval()
    try:
        playback.settle()
        assert gc.get_freeze_count() > 1_000
        assert sys.getswitchinterval() == pytest.approx(0.0005)
    finally:
        gc.unfreeze()
        sys.setswitchinterval(before_s)
