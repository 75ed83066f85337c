"""Drills on recordings: a trial follows from recording, grid, rung and seed, and is kept apart from own sound."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
import soundfile
from msgspec.structs import replace as replace_fields

from exercises.drills import drills
from exercises.forms.drill import promised
from exercises.learner.stored_levels import learner_levels
from exercises.logbook.health import Health, examine
from exercises.logbook.history import days
from exercises.logbook.history import practised as practised_drills
from exercises.logbook.old_trials.again import FIRST_ALONE, RECORD_AWAY, with_sound
from exercises.logbook.old_trials.remark import remark
from exercises.logbook.store import Logbook
from exercises.logbook.transfer import export, merge
from exercises.progress.mistakes import mistakes
from exercises.progress.summary import summary
from exercises.progress.trends import tries
from exercises.trial.kept.record import record
from exercises.trial.kept.truth import truth_of
from exercises.trial.replay import compared
from exercises.trial.trial import Answer, Kind
from synth.base.errors import Trouble
from synth.recording.source import of_file
from tests.synth.recording.test_source import GRID, PRINT

pytestmark = pytest.mark.sampled(6)

WHEN = datetime(2030, 5, 1, 18, tzinfo=UTC)
LONG = replace(GRID, steady_until_s=400.0, duration_s=400.0, intro_bars=32)
OTHER = of_file("other.wav", replace(LONG, tempo_bpm=118.0, one_s=2.0), print="6" * 32, title="Another song")
SOURCE = of_file("song.wav", LONG, print=PRINT, title="A song", other=OTHER)
ON_RECORDS = [one for one in drills().values() if one.records]


def off_grid_s(times_s, recorded, grid=LONG):
    """How far times of a trial lie from the beats of the file, in s of the file."""
    stretches = recorded.stretches
    at = np.searchsorted([each.start_s for each in stretches[1:]], times_s, side="right")
    from_s, speed = (np.array([getattr(each, name) for each in stretches])[at] for name in ("from_s", "speed"))
    beats = (from_s + np.asarray(times_s) * speed - grid.one_s) / grid.beat_s
    return np.abs(beats - np.round(beats)).max() * grid.beat_s


@pytest.mark.sweep(1)
@pytest.mark.parametrize("one", ON_RECORDS, ids=[one.id for one in ON_RECORDS])
def test_beats_and_targets_lie_on_the_grid_of_the_recording(one, subtests):
    for rung in range(1, len(one.rungs) + 1):
        with subtests.test(rung=rung):
            trial = one.make(rung, 7, recording=SOURCE)
            assert trial.recorded.print == PRINT
            assert trial.groove == ""
            assert off_grid_s(trial.count.beats_s, trial.recorded) < 1e-6
            if trial.targets_s.size and one.id != "through":
                assert off_grid_s(trial.targets_s, trial.recorded) < 1e-6
            for part in (*trial.beside, trial.entry):
                if part is not None:
                    assert part.arrangement.recorded.print == OTHER.sound.print
                    grid = replace(LONG, tempo_bpm=118.0, one_s=2.0)
                    assert off_grid_s(part.arrangement.count.beats_s, part.arrangement.recorded, grid) < 1e-6


@pytest.mark.sweep
@pytest.mark.parametrize("one", ON_RECORDS, ids=[one.id for one in ON_RECORDS])
def test_a_trial_follows_from_its_seed_and_is_marked_from_its_own_truth(one):
    trial, again = (one.make(len(one.rungs), 3, recording=SOURCE) for _ in range(2))
    truth = truth_of(trial)
    assert truth == truth_of(again)
    assert truth.recorded.print == PRINT
    kept = truth.trial(trial.drill, trial.rung, trial.seed, trial.version, trial.groove)
    assert kept.recorded == trial.recorded.in_file("")
    value = None
    if trial.kind is Kind.CHOICE or trial.then is Kind.CHOICE:
        value = trial.choices[0].key
    elif trial.kind in (Kind.NUMBER, Kind.POSITION) or trial.then is Kind.NUMBER:
        value = str(trial.expected)
    answer = Answer(trial.targets_s + 0.01, value)
    marks = [one.mark(each, answer, uncertainty_ms=4.0).to_json() for each in (trial, kept)]
    assert marks[0] == marks[1]
    if "uncertainty_ms" in marks[0]:
        assert marks[0]["uncertainty_ms"] == pytest.approx(np.hypot(4.0, LONG.uncertainty_ms), abs=1e-3)


def test_drills_that_need_single_drums_say_that_they_cannot():
    for one in drills().values():
        if not one.records:
            with pytest.raises(Trouble, match="not practised on your own records"):
                one.make(1, 1, recording=SOURCE)


def test_why_the_feel_is_not_practised_on_records_is_said():
    """Half time, as before and double time are counted alike: no grid tells one from another."""
    with pytest.raises(Trouble, match="their count is the same in half time and double time"):
        drills()["feel"].make(1, 1, recording=SOURCE)


@pytest.mark.parametrize(("rung", "seed"), [(1, 0), (6, 1), (10, 2), (10, 3)])
def test_which_excerpt_of_a_record_is_faster_is_in_its_sound(rung, seed, tmp_path):
    """A file with a click on every beat: what lies between two clicks in the trial's sound."""
    rate_hz, grid = 24_000, replace(LONG, steady_until_s=100.0, duration_s=100.0)
    clicks = np.zeros((100 * rate_hz, 1), dtype=np.float32)
    beats_s = np.arange(grid.one_s, 99.9, grid.beat_s)
    clicks[np.rint(beats_s[:, None] * rate_hz + np.arange(24)).astype(int).ravel()] = 0.5
    soundfile.write(tmp_path / "clicks.wav", clicks, rate_hz)
    one, source = drills()["faster"], of_file(str(tmp_path / "clicks.wav"), grid, print=PRINT)
    trial = one.make(rung, seed, recording=source)
    loud = np.abs(trial.samples(rate_hz)).max(axis=1)
    at_s = np.flatnonzero(loud > 0.5 * loud.max()) / rate_hz
    at_s = at_s[np.diff(at_s, prepend=-1.0) > 0.1]
    second = int(np.diff(at_s).argmax()) + 1
    gaps_s = [float(np.median(np.diff(each))) for each in (at_s[:second], at_s[second:])]
    assert trial.expected == ("second" if gaps_s[1] < gaps_s[0] else "first")
    assert max(gaps_s) / min(gaps_s) == pytest.approx(1 + one.rungs[rung - 1].gap_percent / 100, abs=0.002)
    assert at_s == pytest.approx(trial.count.beats_s, abs=0.002)
    # Kept and opened again both excerpts sound as they did.
    kept = truth_of(trial).trial("faster", rung, seed, trial.version, "")
    again, told = with_sound(kept, lambda print: str(tmp_path / "clicks.wav"))
    assert told is None
    both = [each[: round(14 * rate_hz)] for each in (again.samples(rate_hz), trial.samples(rate_hz))]
    assert np.abs(both[0] - both[1]).max() < 0.01


def test_two_records_are_needed_where_two_play():
    for one in drills().values():
        if one.records == 2:
            with pytest.raises(Trouble, match="second record"):
                one.make(1, 1, recording=replace(SOURCE, other=None))


def test_half_and_double_of_a_recordings_tempo_are_right():
    one = drills()["tempo"]
    trial = one.make(1, 2, recording=SOURCE)
    for given in ("120", "60", "240"):
        result = one.mark(trial, Answer(trial.targets_s, given))
        assert result.right, given
    assert not one.mark(trial, Answer(trial.targets_s, "90")).right


@pytest.mark.parametrize("phrase_bars", [4, 8, 16])
def test_turns_of_long_phrases_come_twice(phrase_bars):
    """The first is for finding out, so that one more at least is asked for."""
    one, source = drills()["turn"], replace(SOURCE, grid=replace(LONG, phrase_bars=phrase_bars))
    for rung in range(1, len(one.rungs) + 1):
        for seed in range(8):
            trial = one.make(rung, seed, recording=source)
            assert trial.targets_s.size
            assert np.diff(trial.targets_s) == pytest.approx(4 * phrase_bars * LONG.beat_s)
            assert truth_of(trial) is not None


def test_one_place_of_a_recording_is_drawn_whatever_a_rung_promises():
    tried = []

    def sound(seed):
        tried.append(seed)
        return SOURCE.record("verse:8", phrase_bars=4, seed=seed)

    promised(np.random.default_rng(1), sound, lambda each: False)
    assert len(tried) == 1


def test_a_tempo_whose_sound_ends_on_a_beat_keeps_its_truth():
    """Of 120 BPM: its last beat falls where the sound breaks off, give or take rounding."""
    one = drills()["tempo"]
    assert all(truth_of(one.make(3, seed, recording=SOURCE)) is not None for seed in range(20))


def test_the_bars_that_are_left_of_an_intro_are_asked_from_any_bar():
    one = drills()["intro"]
    asked = {one.make(3, seed, recording=SOURCE).expected for seed in range(30)}
    assert len(asked) > 3
    trial = next(t for t in (one.make(3, seed, recording=SOURCE) for seed in range(30)) if t.count.bar_number[0] > 1)
    assert "left" in str(trial.question)
    result = one.mark(trial, Answer(np.empty(0), str(trial.expected)))
    assert result.right
    assert str(result.verdict[0]) == f"{trial.expected} bars were left of the intro."
    assert one.sheet_marks(trial, Answer(np.empty(0)), result) is not None


def test_what_is_said_of_an_intro_holds_for_a_recording():
    """Where a trial begins must not tell how much is left, and nobody knows what comes in when a recording's ends."""
    one = drills()["intro"]
    trials = [one.make(3, seed, recording=replace(SOURCE, grid=replace(LONG, intro_bars=4))) for seed in range(30)]
    assert {trial.count.bar_number[0] for trial in trials} > {1}
    assert len({trial.question for trial in trials}) == 1
    said = {
        str(each)
        for trial in trials
        for given in range(1, 33)
        for each in one.mark(trial, Answer(np.empty(0), str(given))).verdict
    }
    assert not any("bass" in each or "bars long" in each for each in said)
    assert len(said) > 20


def test_snares_of_a_recording_are_no_advice():
    one = drills()["in-line"]
    trial = one.make(1, 1, recording=SOURCE)
    wrong = next(each.key for each in trial.choices if each.key != trial.expected)
    assert "snare" not in " ".join(map(str, one.mark(trial, Answer(np.empty(0), wrong)).verdict))


def test_the_drums_that_stand_in_are_silent_where_the_recording_was():
    one = drills()["through"]
    trial = one.make(1, 1, recording=SOURCE)
    ((begins_s, ends_s),) = trial.recorded.silences
    kept = truth_of(trial).trial("through", 1, 1, trial.version, "")
    sounding, told = with_sound(kept, lambda print: None)
    assert told == RECORD_AWAY(title="A song")
    onset_s = sounding.arrangement.hits.onset_s
    assert not ((onset_s > begins_s) & (onset_s < ends_s)).any()
    assert {bool((onset_s < begins_s).any()), bool((onset_s > ends_s).any())} == {True}


# -- the logbook -----------------------------------------------------------------------------------------------------


def practised(logbook, *, recorded: bool, right: bool, n: int) -> None:
    """``n`` answered trials of ``stopped-beat``, on a recording or not."""
    one = drills()["stopped-beat"]
    for at in range(n):
        trial = one.make(3, at, recording=SOURCE if recorded else None)
        wrong = next(each.key for each in trial.choices if each.key != trial.expected)
        answer = Answer(np.empty(0), trial.expected if right else wrong)
        when = WHEN + timedelta(minutes=at + 60 * recorded)
        logbook.add(record(trial, answer, one.mark(trial, answer), when=when))


def test_levels_trends_and_mistakes_on_recordings_are_kept_apart(tmp_path):
    with Logbook.open(tmp_path / "a.sqlite3") as both, Logbook.open(tmp_path / "b.sqlite3") as drums:
        for logbook in (both, drums):
            practised(logbook, recorded=False, right=True, n=12)
        before = learner_levels(both, "me")
        practised(both, recorded=True, right=False, n=9)
        for which, other in ((learner_levels(both, "me"), before), (before, learner_levels(drums, "me"))):
            assert which.level("stopped-beat").theta == other.level("stopped-beat").theta
            assert which.fresh.theta == other.fresh.theta
        levels = learner_levels(both, "me")
        assert levels.recorded["stopped-beat"].level.answers == 9
        assert levels.recorded_level("stopped-beat").theta < levels.level("stopped-beat").theta - 1
        both.forget_levels()
        assert learner_levels(both, "me").recorded_level("stopped-beat").theta == pytest.approx(
            levels.recorded_level("stopped-beat").theta
        )
        assert days(both, "me", "stopped-beat") == days(drums, "me", "stopped-beat")
        assert tries(both, "me", "stopped-beat") == tries(drums, "me", "stopped-beat")
        assert mistakes(both, "me", "stopped-beat") == mistakes(drums, "me", "stopped-beat")
        assert practised_drills(both, "me")["stopped-beat"].trials == 21
        assert both.rows("SELECT recorded, sum(trials) FROM days GROUP BY 1") == [(0, 12), (1, 9)]
    assert examine(tmp_path / "a.sqlite3") is Health.SOUND


@pytest.mark.parametrize("ending", ["jsonl", "sqlite3"])
def test_trials_on_recordings_go_to_another_logbook(tmp_path, ending):
    with Logbook.open(tmp_path / "a.sqlite3") as logbook:
        practised(logbook, recorded=True, right=True, n=2)
        export(logbook, tmp_path / f"out.{ending}")
        with Logbook.open(tmp_path / "b.sqlite3") as other:
            merge(other, tmp_path / f"out.{ending}")
            assert [each.recording for each in other.all()] == [PRINT] * 2
            assert other.rows("SELECT DISTINCT recording FROM trials") == [(PRINT,)]
            assert [each.truth for each in other.all()] == [each.truth for each in logbook.all()]


def test_an_old_trial_sounds_from_its_file_and_without_it_as_drums():
    one = drills()["one"]
    trial = one.make(2, 5, recording=SOURCE)
    kept = truth_of(trial).trial("one", 2, 5, trial.version, "")
    sounding, told = with_sound(kept, lambda print: "elsewhere.wav" if print == PRINT else None)
    assert told is None
    assert sounding.arrangement.recorded == trial.recorded.in_file("elsewhere.wav")
    assert not len(sounding.arrangement.hits)
    assert sounding.duration_s == trial.duration_s
    sounding, told = with_sound(kept, lambda print: None)
    assert told == RECORD_AWAY(title="A song")
    assert len(sounding.arrangement.hits)


def noisy(path, seed: int) -> str:
    """A file of 100 s of noise that comes and goes, no two alike."""
    rng, rate_hz = np.random.default_rng(seed), 8_000
    loud = np.repeat(rng.uniform(0.02, 0.5, 1000), rate_hz // 10)
    soundfile.write(path, (loud * rng.uniform(-1, 1, len(loud)))[:, None].astype(np.float32), rate_hz)
    return str(path)


@pytest.mark.parametrize("drill", [one.id for one in ON_RECORDS if one.records == 2])
@pytest.mark.parametrize("last", [False, True])
def test_an_old_trial_of_two_records_sounds_as_it_did(drill, last, tmp_path):
    """As a whole, after a wrong answer both ways, and with the press that starts the second."""
    one, rate_hz = drills()[drill], 8_000
    grid = replace(LONG, steady_until_s=100.0, duration_s=100.0)
    files = {print: noisy(tmp_path / f"{print}.wav", int(print[0])) for print in (PRINT, OTHER.sound.print)}
    other = of_file(
        files[OTHER.sound.print], replace(grid, tempo_bpm=118.0), print=OTHER.sound.print, title="Another"
    )
    source = of_file(files[PRINT], replace(grid, phrase_bars=4), print=PRINT, title="A song", other=other)
    rung = len(one.rungs) if last else 1
    trial = one.make(rung, 3, recording=source)
    kept = truth_of(trial).trial(drill, rung, 3, trial.version, "")
    again, told = with_sound(kept, files.get)
    assert told is None
    alone, told = with_sound(kept, {PRINT: files[PRINT]}.get)
    assert told == FIRST_ALONE()
    if trial.entry is not None:
        press_s = float(trial.targets_s[0]) + 0.01
        sounds = [each.blend(press_s, rate_hz) for each in (trial, again)]
    else:
        sounds = [each.samples(rate_hz) for each in (trial, again, alone)]
        assert np.abs(sounds[0] - sounds.pop()).max() > 0.1
        wrong = next(choice.key for choice in trial.choices if choice.key != trial.expected)
        result = one.mark(trial, Answer(value=wrong))
        ways = [one.versions(each, result) for each in (trial, again)]
        assert len(ways[0]) == len(ways[1])
        if ways[0]:
            was, now = (compared(each, 1.0, rate_hz) for each in ways)
            assert np.abs(was.samples - now.samples).max() < 2e-3
    assert np.abs(sounds[0] - sounds[1]).max() < 2e-3


@pytest.mark.parametrize(
    "written", [{"end_s": -50.0}, {"end_s": 86_400.0}, {"start_s": 80_000.0}, {"from_s": 86_400.0}, {"from_s": -1e4}]
)
def test_a_stretch_that_somebody_else_wrote_is_no_longer_than_the_trial(written, tmp_path):
    path = tmp_path / "song.wav"
    soundfile.write(path, np.zeros((8_000, 1)), 8_000)
    trial = drills()["one"].make(2, 5, recording=SOURCE)
    truth = truth_of(trial)
    truth = replace_fields(truth, recorded=replace_fields(truth.recorded, **written))
    sounding, _ = with_sound(truth.trial("one", 2, 5, trial.version, ""), lambda print: str(path))
    heard = sounding.arrangement.recorded
    assert 0 <= heard.end_s - heard.start_s <= trial.duration_s
    assert len(sounding.samples(8_000)) == round(trial.duration_s * 8_000)


def test_a_grid_that_was_set_right_marks_old_trials_again(tmp_path):
    """The learner was right and the grid a beat off: once it is set right, so are the results."""
    wrong = replace(SOURCE, other=None)
    right = replace(
        wrong, sound=replace(wrong.sound, grid_version=2), grid=replace(LONG, one_s=LONG.one_s + LONG.beat_s)
    )

    def said(print):
        return right if print == PRINT else None

    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        stop, one = drills()["stopped-beat"], drills()["one"]
        heard = stop.make(3, 1, recording=wrong)
        answer = Answer(np.empty(0), str((int(heard.expected) - 2) % 4 + 1))
        logbook.add(record(heard, answer, stop.mark(heard, answer), when=WHEN))
        tapped = one.make(3, 1, recording=wrong)
        answer = Answer(tapped.targets_s[:-1] + LONG.beat_s)
        logbook.add(record(tapped, answer, one.mark(tapped, answer, uncertainty_ms=4.0), when=WHEN))
        assert [each.result["right"] for each in logbook.all()] == [False, False]
        assert remark(logbook, sources=lambda print: None).changed.total() == 0
        found = remark(logbook, sources=said)
        assert (found.changed.total(), found.counted_anew) == (2, 2)
        assert [each.result["right"] for each in logbook.all()] == [True, True]
        assert all(each.truth.recorded.grid_version == 2 for each in logbook.all())
        (spread,) = [each.result["uncertainty_ms"] for each in logbook.all() if each.drill == "one"]
        assert spread == pytest.approx(np.hypot(4.0, LONG.uncertainty_ms), abs=1e-3)
        assert remark(logbook, sources=said).changed.total() == 0


def test_a_trial_that_cannot_be_marked_by_another_count_keeps_its_own(tmp_path, monkeypatch):
    stop = drills()["stopped-beat"]
    right = replace(SOURCE, sound=replace(SOURCE.sound, grid_version=2))
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        practised(logbook, recorded=True, right=True, n=1)
        monkeypatch.setattr(type(stop), "mark", lambda *_, **__: 1 / 0)
        found = remark(logbook, sources=lambda print: right)
        assert (found.gone, found.counted_anew) == (1, 0)
        assert [each.truth.recorded.grid_version for each in logbook.all()] == [1]


def test_the_rung_on_records_is_told_beside_that_on_drums(tmp_path):
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        practised(logbook, recorded=False, right=True, n=12)
        assert "records" not in " ".join(summary(logbook, "me").lines())
        practised(logbook, recorded=True, right=False, n=9)
        levels = learner_levels(logbook, "me")
        one = drills()["stopped-beat"]
        rungs = (levels.recorded_level(one.id).rung(one), levels.level(one.id).rung(one))
        assert rungs[0] < rungs[1]
        told = f"On your own records rung {rungs[0]} suits you, on drums rung {rungs[1]}."
        assert told in " ".join(summary(logbook, "me").lines())


def test_who_had_confirmed_the_count_is_kept_with_the_trial():
    by_tutor = replace(SOURCE, sound=replace(SOURCE.sound, confirmed_by="tutor"))
    trial = drills()["one"].make(1, 1, recording=by_tutor)
    truth = truth_of(trial)
    assert truth.trial("one", 1, 1, trial.version, "").recorded.confirmed_by == "tutor"
    both = drills()["in-line"].make(1, 1, recording=by_tutor)
    assert (both.recorded.title, both.second_recorded.title) == ("A song", "Another song")
    assert trial.second_recorded is None
