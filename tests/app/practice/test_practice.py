"""The practice model: from "start" to the marked result, without a window or a speaker."""

from concurrent.futures import Future, ThreadPoolExecutor

import numpy as np
import pytest

from app.inputs.equipment import Equipment
from app.inputs.midi_taps import GONE
from app.inputs.taps import Tap
from app.practice.learner.present_learner import PresentLearner
from app.practice.plan.planned import Planned
from app.practice.practice import Practice
from app.practice.trial.attempt import Phase
from app.practice.trial.course import Free
from app.practice.trial.next_trial import Ahead, Wish
from exercises.calibration.lag import WANDER_MS
from exercises.drills import marked_drills
from exercises.logbook.old_trials.remark import remark
from exercises.trial.modes import Mode
from exercises.trial.trial import Kind
from synth.base.errors import Trouble
from synth.device.faults import Fault, FaultKind
from synth.device.playback import Player
from tests.app.silent import said
from tests.synth.device.fake_stream import FakeSound

pytestmark = [pytest.mark.usefixtures("unheard"), pytest.mark.sampled(4)]


def tap_at(practice, player, times_s) -> None:
    for time_s in times_s:
        practice.attempt.tap(Tap(player.start_s + float(time_s), "key", True))


def to_the_end(practice, player) -> None:
    player.now_s = player.start_s + practice.attempt.trial_end_s() + 0.001
    practice.tick()


def test_taps_on_every_one_are_marked_and_saved_before_they_are_shown(practice, player, logbook):
    practice.start()
    tap_at(practice, player, practice.trial.targets_s + 0.010)
    to_the_end(practice, player)
    assert practice.phase is Phase.MARKED
    assert practice.result.taps.hits == practice.result.taps.targets == len(practice.trial.targets_s)
    np.testing.assert_allclose(practice.result.taps.errors_ms, 10.0, atol=1e-6)
    (saved,) = logbook.trials(10)
    assert (saved.drill, saved.seed, saved.void) == ("one", practice.trial.seed, None)
    np.testing.assert_array_equal(saved.answer.taps_s, practice.attempt.answer.taps_s)


def test_a_trial_goes_on_until_its_last_window_has_closed(practice, player):
    practice.start()
    player.now_s = player.start_s + practice.attempt.trial_end_s() - 0.001
    practice.tick()
    assert practice.phase is Phase.SOUNDING
    tap_at(practice, player, practice.trial.targets_s[-1:])
    to_the_end(practice, player)
    assert practice.phase is Phase.MARKED


class Deaf:
    """An input that brings no taps; ``why`` says what is wrong with it."""

    source, name, trouble, fault = "midi", "invented pad", None, None
    why = None

    def begin(self, player, samples) -> None: ...
    def rest(self) -> None: ...
    def take(self) -> list[Tap]:
        return []

    def check(self):
        return self.why


@pytest.mark.parametrize("drill", ["one", "land", "tempo"])
def test_a_trial_without_a_tap_is_void_and_the_next_is_wrong(practice, player, logbook, drill):
    practice.choose(Wish(drill, 1))
    practice.start()
    to_the_end(practice, player)
    assert practice.phase is Phase.VOID
    assert said(practice).startswith("No tap came in, so this trial does not count.")
    assert (logbook.trials(1)[0].void, practice.learner.levels().level(drill).answers) == ("untapped", 0)
    for _ in range(2):
        practice.start()
        to_the_end(practice, player)
        if practice.phase is Phase.ASKING:
            practice.answer_with(str(practice.trial.expected))
        assert practice.phase is Phase.MARKED
        assert practice.result.right is False


def test_a_tap_in_between_makes_the_next_trial_without_any_void_again(practice, player):
    phases = []
    for tapped in (False, True, False, False):
        practice.start()
        tap_at(practice, player, practice.trial.targets_s[:1] if tapped else [])
        to_the_end(practice, player)
        phases.append(practice.phase)
    assert phases == [Phase.VOID, Phase.MARKED, Phase.VOID, Phase.MARKED]


def test_a_lost_count_in_between_does_so_too(practice, player):
    phases = []
    for lost in (False, True, False):
        practice.start()
        if lost:
            practice.lose_count()
        else:
            to_the_end(practice, player)
        phases.append(practice.phase)
    assert phases == [Phase.VOID, Phase.MARKED, Phase.VOID]


def test_while_an_input_does_not_work_trials_without_a_tap_stay_void(practice, player):
    pad = Deaf()
    pad.why = GONE(name=pad.name)
    practice.equipment.inputs.append(pad)
    for _ in range(3):
        practice.start()
        to_the_end(practice, player)
        assert practice.phase is Phase.VOID
        assert said(practice).endswith("The MIDI input invented pad is not connected any more.")
    pad.why = None
    practice.start()
    to_the_end(practice, player)
    assert practice.phase is Phase.MARKED


def test_a_stopped_trial_leaves_nothing_behind(practice, player, logbook):
    practice.start()
    tap_at(practice, player, [0.5])
    practice.stop()
    assert practice.phase is Phase.READY
    assert not player.playing
    assert logbook.trials(10) == []


STALLED = Fault(FaultKind.STALL, "468")


def broken(practice, player, after_s, *faults) -> None:
    """A trial whose sound breaks after so many seconds."""
    practice.start()
    player.now_s = player.start_s + after_s
    player.faults = faults
    practice.tick()


def test_a_fault_of_the_sound_makes_the_trial_void_and_keeps_it_as_void(practice, player, logbook):
    practice.start()
    tap_at(practice, player, practice.trial.targets_s)
    player.faults = (STALLED, Fault(FaultKind.UNDERFLOW))
    practice.tick()
    assert practice.phase is Phase.VOID
    assert practice.result is None
    (saved,) = logbook.trials(10)
    assert saved.void == "stall 468; underflow"
    practice.start()
    assert practice.phase is Phase.SOUNDING


def test_a_void_trial_is_told_in_plain_words_and_its_reason_kept_in_the_log(practice, player, caplog):
    with caplog.at_level("INFO", logger="tallybar"):
        broken(practice, player, 3.0, STALLED)
    assert said(practice).startswith("The sound stumbled: the computer was busy. That was not you")
    assert "does not count" in said(practice)
    assert "buffer" not in said(practice)
    assert "too busy for the sound (468 ms)" in caplog.text


def test_what_to_do_is_told_when_it_happens_again(practice, player):
    """The second in a row, or the third in all."""
    says = "choose a longer latency under Sound and taps"
    broken(practice, player, 3.0, STALLED)
    assert says not in said(practice)
    broken(practice, player, 3.0, STALLED)
    assert says in said(practice)
    practice.start()
    to_the_end(practice, player)
    broken(practice, player, 3.0, STALLED)
    assert says in said(practice)


def test_a_computer_that_slept_is_told_so_and_is_nobodys_busy_program(practice, player):
    for _ in range(3):
        broken(practice, player, 3.0, Fault(FaultKind.JUMP, "+3600.0"))
        assert said(practice).startswith("The computer slept")


def test_of_a_broken_trial_only_what_was_heard_counts_as_listening(practice, player, logbook):
    broken(practice, player, 3.0, STALLED)
    practice.start()
    tap_at(practice, player, [1.0])
    to_the_end(practice, player)
    whole, cut = logbook.trials(10)
    assert cut.sound_s == pytest.approx(3.0)
    assert whole.sound_s == pytest.approx(practice.trial.duration_s, abs=0.001)


def test_what_is_not_marked_goes_on_through_a_dropout(practice, player, logbook):
    practice.choose(Wish("count-along", 1))
    practice.start()
    player.now_s, player.faults = player.start_s + 3.0, (STALLED,)
    practice.tick()
    assert (practice.phase, said(practice)) == (Phase.SOUNDING, "The sound stumbled for a moment; it goes on.")
    plays, player.faults, player.playing = player.plays, (Fault(FaultKind.SILENCE),), False
    practice.tick()
    assert (practice.phase, player.plays, player.playing) == (Phase.SOUNDING, plays + 1, True)
    player.faults = (Fault(FaultKind.SILENCE),)
    practice.tick()
    assert practice.phase is Phase.VOID  # it had hardly begun again: there is no sound to be had
    assert "began again" not in said(practice)


def test_without_a_sound_output_nothing_starts(practice, player):
    player.trouble = Trouble("No sound output was found.")
    with pytest.raises(Trouble, match="No sound output"):
        practice.start()
    assert practice.phase is Phase.READY


def test_each_trial_has_a_new_seed_unless_one_is_chosen(practice, player):
    practice.start()
    first = practice.trial.seed
    practice.stop()
    practice.start()
    assert practice.trial.seed != first
    practice.stop()
    practice.choose(Wish("one", 1, seed=7))
    practice.start()
    assert practice.trial.seed == 7


def test_unknown_drills_and_rungs_are_refused_with_the_near_ones(practice):
    with pytest.raises(Trouble, match="one"):
        practice.choose(Wish("onne"))
    with pytest.raises(Trouble, match="rungs 1 to"):
        practice.choose(Wish("one", 99))


def test_the_sounding_beat_follows_the_clock(practice, player):
    practice.start()
    beats_s = practice.trial.count.beats_s
    assert practice.attempt.sounding_beat() is None
    player.now_s = player.start_s + float(beats_s[3]) + 0.01
    assert practice.attempt.sounding_beat() == 3


def test_what_a_press_brought_about_moves_no_mark_on_the_sheet(practice, player):
    """It begins within the count, not with it: its third beat is not the sheet's."""
    practice.choose(Wish("bring-in", 1))
    practice.start()
    count = practice.trial.count
    player.now_s = player.start_s + float(practice.trial.targets_s[0])
    practice.attempt.tap(Tap(player.now_s, "key", True))
    practice.tick()
    practice.tick()
    assert practice.again
    player.now_s = player.start_s + float(count.beats_s[2]) + 0.01
    assert practice.attempt.sounding_beat() is None
    practice.start()
    player.now_s = player.start_s + float(count.beats_s[2]) + 0.01
    assert practice.attempt.sounding_beat() == 2


def test_a_press_whose_sound_cannot_be_made_is_told_once(practice, player):
    practice.choose(Wish("bring-in", 1))
    practice.start()
    practice.attempt.tap(Tap(player.start_s + float(practice.trial.targets_s[0]), "key", True))
    practice.tick()
    practice.attempt.replaying.coming = Future()
    practice.attempt.replaying.coming.set_exception(ValueError("no such press"))
    with pytest.raises(ValueError, match="no such press"):
        practice.tick()
    practice.tick()
    assert practice.phase is Phase.MARKED


def test_listening_is_not_cut_short_and_so_not_counted_as_done(practice, player, logbook):
    practice.follow_day(Planned(logbook.path))
    practice.plan_day()
    practice.day.poll()
    assert practice.today.item.drill == "count-along"
    practice.start()
    player.now_s = player.start_s + 1.0
    practice.ask_now()
    assert practice.phase is Phase.SOUNDING
    assert practice.today.counts[0] == 0


def test_listening_whose_output_has_gone_for_good_ends_as_void(logbook):
    """On a real player, whose device is found neither when it breaks nor when it is opened again."""
    sound = FakeSound()
    player = Player(open_stream=sound.open, now=sound.now, awake=sound.awake)
    practice = Practice(Equipment(player), PresentLearner(logbook), Ahead(lambda: 1), now=sound.now)
    practice.choose(Wish("count-along", 1))
    practice.start()
    sound.run(3.0, player)
    practice.tick()
    sound.served, sound.refuses = False, "No sound output was found. Connect an output, or choose another."
    sound.run(0.6, player)
    practice.tick()
    assert practice.phase is Phase.VOID
    assert "No sound output was found" in said(practice)
    practice.tick()
    assert practice.phase is Phase.VOID


def test_uncertainty_grows_where_only_the_handling_moment_is_known(practice, player):
    practice.start()
    practice.attempt.tap(Tap(player.start_s + 1.0, "key", True))
    # Twice (JCGM 100:2008) the root of squares of: clock line, whole milliseconds, 125 Hz polling (2.31 ms), wander.
    parts = (0.2, 1 / np.sqrt(12), 2.3094, WANDER_MS)
    assert practice.attempt.uncertainty_ms() == pytest.approx(2 * np.linalg.norm(parts), rel=1e-4)
    practice.attempt.tap(Tap(player.start_s + 2.0, "key", False))
    assert practice.attempt.uncertainty_ms() > 6


def test_a_prepared_trial_is_the_one_that_sounds(practice, player):
    """What a worker has made ahead is used once, and only for the wish it was made for."""
    with ThreadPoolExecutor(1) as workers:
        seeds = iter(range(1, 10))
        practice.ahead = Ahead(lambda: next(seeds), workers)
        practice.prepare()
        practice.prepare()
        practice.start()
        assert practice.trial.seed == 1
        practice.stop()
        practice.prepare()
        practice.choose(Wish("one", 2))
        practice.prepare()
        practice.start()
        assert (practice.trial.rung, practice.trial.seed) == (2, 3)


@pytest.mark.sweep
@pytest.mark.parametrize("drill", [each.id for each in marked_drills()])
def test_a_lost_count_is_wrong_and_kindly_said_in_every_drill(practice, player, logbook, drill):
    """While it sounds, with taps so far, and at the question."""
    practice.choose(Wish(drill, 1))
    for asked in (False, True):
        practice.start()
        tap_at(practice, player, [1.0] if practice.trial.entry is None else [])
        player.now_s = player.start_s + 2.0
        practice.tick()
        if asked and practice.attempt.asks is not Kind.NONE:
            tap_at(practice, player, [1.5])
            to_the_end(practice, player)
            assert practice.phase is Phase.ASKING
        practice.lose_count()
        assert (practice.phase, practice.result.right, practice.result.score) == (Phase.MARKED, False, 0.0)
        told = "lost the count" if practice.drill.counts else "could not tell"
        assert str(practice.result).startswith(f"Not yet. You {told} and said so")
        assert not player.playing or practice.attempt.sounded_s is None
        saved = logbook.trials(1)[0]
        assert (saved.answer.value, saved.result["given"], saved.result["right"]) == ("lost", "lost", False)
    assert practice.learner.levels().level(drill).answers == 2
    assert not remark(logbook).changed


def test_there_is_no_count_to_lose_before_a_trial_or_after_it_or_where_nothing_is_marked(practice, player):
    practice.lose_count()
    assert practice.phase is Phase.READY
    practice.choose(Wish("count-along", 1))
    practice.start()
    practice.lose_count()
    assert practice.phase is Phase.SOUNDING


def test_a_lost_count_leaves_the_side_task_out(practice, player):
    practice.choose(Wish("one", 1, mode=Mode.BUSY))
    practice.start()
    player.now_s = player.start_s + 6.0
    practice.lose_count()
    assert practice.phase is Phase.MARKED
    assert not practice.result.figures


def test_its_course_is_told_that_a_trial_does_not_count_or_counts_again(practice, player):
    told = []

    class Counting(Free):
        def recount(self, counts: bool) -> None:
            told.append(counts)

    practice.course = Counting()
    practice.start()
    tap_at(practice, player, practice.trial.targets_s)
    to_the_end(practice, player)
    for _ in range(2):
        practice.withdraw()
    assert told == [False, True]
