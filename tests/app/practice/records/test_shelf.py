"""The list of records: what is shown in which order, files on their way, and what a confirmation brings."""

from dataclasses import replace

import pytest

from app.practice.records import own_records
from app.practice.records import shelf as module
from app.practice.records.own_records import OwnRecords, by_whom
from app.practice.records.shelf import By, Shelf, Stand, stand_of
from app.practice.records.trials_again import trials_on
from app.practice.trial.next_trial import Wish
from synth.base.errors import Trouble
from synth.base.files import write_bytes
from synth.base.words import say
from synth.catalogue.catalogue import Catalogue
from synth.catalogue.queue import WAITING, Progress
from synth.catalogue.recording import State
from synth.score.recorded import Recorded
from tests.app.later import Later
from tests.synth.catalogue.made import GRID, REFUSED, recording

pytestmark = pytest.mark.sampled(3)

UNSURE = recording(4, title="Delta", grid=replace(GRID, sure=False, tempo_bpm=90.0))
ALL = (
    recording(1, title="Charlie", artist="Zeta"),
    recording(2, title="alpha", grid=replace(GRID, tempo_bpm=140.0)).confirmed("learner"),
    recording(3, title="Bravo").confirmed("tutor"),
    UNSURE,
    replace(REFUSED, title="Echo"),
)


class Waiting:
    """Stands in for the queue; ``told`` is what it calls with a file that is done."""

    def __init__(self, told) -> None:
        self.told, self.added, self.still, self.closed = told, [], [], False
        self.progress = Progress(0, 0)

    def add(self, paths, *, first=False):
        self.added += [(path, first) for path in paths]
        self.progress = Progress(0, len(self.added))

    def stand_still(self, still):
        self.still.append(still)

    def cancel(self):
        self.progress = Progress(0, 0)

    def close(self):
        self.closed = True


@pytest.fixture
def catalogue(tmp_path):
    made = Catalogue(tmp_path)
    for each in ALL:
        made.keep(each, b"anchors", b"outline")
    return made


@pytest.fixture
def shelf(catalogue):
    records = OwnRecords(lambda: catalogue)
    assert records.catalogue is catalogue
    return Shelf(records, lambda _, told: Waiting(told), workers=Later())


def titles(shelf) -> list[str]:
    return [each.title for each in shelf.rows()]


def test_three_orders(shelf):
    assert titles(shelf) == ["alpha", "Bravo", "Charlie", "Delta", "Echo"]
    shelf.by = By.TEMPO
    assert titles(shelf) == ["Delta", "Bravo", "Charlie", "alpha", "Echo"]
    shelf.by = By.STATE
    assert titles(shelf) == ["Delta", "Charlie", "alpha", "Bravo", "Echo"]


@pytest.mark.parametrize(
    ("words", "found"), [("RAV", ["Bravo"]), ("zeta char", ["Charlie"]), ("4.flac", ["Delta"]), ("zeta bravo", [])]
)
def test_every_word_of_a_search_is_in_title_artist_or_file_name(shelf, words, found):
    shelf.search = words
    assert titles(shelf) == found


def test_the_unsure_alone(shelf):
    shelf.unsure = True
    assert titles(shelf) == ["Delta"]


def test_how_a_record_stands():
    assert [stand_of(each) for each in ALL] == [
        Stand.SURE,
        Stand.CONFIRMED,
        Stand.CONFIRMED,
        Stand.UNSURE,
        Stand.REFUSED,
    ]


def test_what_is_added_is_gathered_by_a_thread_and_analysed_first(shelf, tmp_path):
    (tmp_path / "music").mkdir()
    for name in ("a.mp3", "b.flac", "c.txt"):
        (tmp_path / "music" / name).touch()
    shelf.add([tmp_path / "music"])
    assert shelf.gathering_files
    shelf.workers.run()
    shelf.poll()
    assert [(path.name, first) for path, first in shelf.queue.added] == [("a.mp3", True), ("b.flac", True)]
    assert str(shelf.notice) == "2 files wait for their analysis."
    shelf.queue.progress = Progress(2, 2)
    shelf.poll()
    assert str(shelf.notice) == "The analysis is done."


def test_trouble_in_gathering_and_in_the_analysis_is_said(catalogue, tmp_path):
    def gathering(_):
        raise Trouble(say("Nothing in this folder."))

    class Now(Later):
        def submit(self, what, /, *args, **more):
            from synth.base.working import submitted

            return submitted(None, what, *args, **more)

    shelf = Shelf(OwnRecords(lambda: catalogue), lambda _, told: Waiting(told), gathering, workers=Now())
    shelf.read()
    assert shelf.poll()
    shelf.add([tmp_path])
    shelf.poll()
    assert str(shelf.notice) == "Nothing in this folder."
    shelf.queue.told("a.mp3", say("The file went away."))
    assert shelf.poll()
    assert str(shelf.notice) == "The file went away."


def test_a_file_that_is_done_changes_the_list_and_what_is_drawn(shelf):
    shelf.records._enough = True
    shelf.queue.told("/records/1.flac", ALL[0])
    assert shelf.poll()
    assert shelf.records._enough is None
    assert not shelf.poll()


def test_the_analysis_stands_still_and_a_queue_made_meanwhile_too(shelf):
    shelf.stand_still(True)
    assert shelf.queue.still == [True]
    shelf.stand_still(True)
    shelf.stand_still(False)
    assert shelf.queue.still == [True, False]


def test_files_that_are_missing_are_found_out_by_a_thread(shelf, catalogue, tmp_path):
    (tmp_path / "there.flac").touch()
    catalogue.keep(replace(UNSURE, path=str(tmp_path / "there.flac")))
    shelf.look()
    shelf.workers.run()
    assert shelf.poll()
    assert shelf.missing == {each.print for each in ALL} - {UNSURE.print}


def test_a_window_that_closes_as_the_page_opens_begins_nothing(catalogue):
    """What the page does a turn after its head comes to a list that is closed by then."""
    queues, begun = [], Shelf(OwnRecords(lambda: catalogue), lambda _, told: queues.append(told) or Waiting(told))
    write_bytes(catalogue.folder / WAITING, b"[]")
    begun.close()
    begun.read()
    begun.begin()
    begun.look()
    assert not begun.ready
    assert queues == []


def test_a_record_that_is_taken_out_comes_back_as_it_was(shelf, catalogue):
    shelf.forget(ALL[1])
    assert catalogue.get(ALL[1].print) is None
    shelf.put_back()
    assert catalogue.get(ALL[1].print) == ALL[1]
    assert (catalogue.anchors(ALL[1].print), catalogue.outline(ALL[1].print)) == (b"anchors", b"outline")
    assert shelf.put_away is None


def test_a_third_confirmed_record_is_told_to_be_enough(tmp_path):
    catalogue = Catalogue(tmp_path)
    for number in range(3):
        (tmp_path / f"{number}.flac").touch()
        catalogue.keep(recording(number, path=str(tmp_path / f"{number}.flac")))
    shelf = Shelf(OwnRecords(lambda: catalogue))
    said = []
    for number in range(3):
        assert shelf.confirm(catalogue.get(f"{number:032x}").confirmed("learner"))
        said.append(shelf.notice.template)
    assert said == [module.CONFIRMED, module.CONFIRMED, module.ENOUGH]


def test_who_has_confirmed_the_count_of_a_trial(catalogue):
    """As it was when the trial was heard, whatever became of the record since."""
    records = OwnRecords(lambda: catalogue)

    def told(print: str, version: int, by: str, known=records):
        return by_whom(known, Recorded(print, "", "A song", version, 0.0, 0.0, 9.0, confirmed_by=by)).template

    by_each = [own_records.NOT_CONFIRMED, own_records.BY_LEARNER, own_records.BY_TUTOR]
    assert [told(ALL[0].print, 1, by) for by in ("", "learner", "tutor")] == by_each
    assert told(ALL[1].print, 2, "learner") is own_records.ANOTHER_COUNT
    assert told("f" * 32, 1, "tutor") is told("f" * 32, 1, "tutor", None) is own_records.BY_TUTOR


@pytest.mark.usefixtures("unheard")
def test_trials_counted_by_an_earlier_grid_are_marked_again(practice, tmp_path):
    """A trial whose taps were on the ones as they were is wrong by the ones a beat later."""
    (tmp_path / "1.flac").touch()
    catalogue = Catalogue()
    made = recording(1, path=str(tmp_path / "1.flac")).confirmed("learner")
    catalogue.keep(made)
    practice.records = OwnRecords(lambda: catalogue)
    practice.choose(Wish("one", 4, record=made.print))
    practice.start()
    trial, player = practice.trial, practice.player
    for tap_s in trial.targets_s:
        player.now_s = player.start_s + tap_s
        practice.attempt.tap(tap(player.now_s))
    player.now_s = player.start_s + trial.duration_s + 1
    practice.tick()
    assert practice.result.right
    assert trials_on(practice.learner.logbook, made) == 0
    corrected = made.with_grid(replace(made.grid, one_s=made.grid.one_s + made.grid.beat_s)).confirmed("learner")
    shelf = Shelf(practice.records, workers=Later())
    shelf.confirm(corrected)
    assert trials_on(practice.learner.logbook, corrected) == 1
    done = []
    shelf.mark_again(practice.learner.logbook.path, lambda: done.append(True))
    assert shelf.marking
    shelf.workers.run()
    shelf.poll()
    assert (done, shelf.marking) == ([True], False)
    assert str(shelf.notice) == "One result is different."
    assert trials_on(practice.learner.logbook, corrected) == 0
    assert [each.result["right"] for each in practice.learner.logbook.all()] == [False]


def tap(at_s: float):
    from app.inputs.taps import Tap

    return Tap(float(at_s), "key", True)


def test_what_waited_when_the_program_ended_goes_on(shelf, catalogue):
    shelf.begin()
    assert shelf._queue is None
    (catalogue.folder / "waiting.list").write_text("[]")
    shelf.begin()
    assert shelf._queue is not None
    shelf.close()
    assert shelf._queue.closed


def test_a_record_without_a_count_or_a_file_cannot_be_heard(shelf, player, tmp_path):
    assert shelf.confirming(replace(REFUSED, path=str(tmp_path)), player, None) is None
    assert shelf.confirming(UNSURE, player, None) is None
    (tmp_path / "4.flac").touch()
    made = shelf.confirming(replace(UNSURE, path=str(tmp_path / "4.flac")), player, None)
    assert (made.outline, made.recording.state) == (b"outline", State.FOUND)
