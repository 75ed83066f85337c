"""Who practises: chosen on the plan's page where there are several learners; nobody's trials are hidden by a name."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from app.practice.plan.planned import Planned
from app.practice.trial.next_trial import Wish
from app.session import Session
from app.settings import Keeper, Settings, load, settings_path
from app.ui.base.language import speak
from app.ui.charts.content import Question
from app.ui.heading import LOGBOOK, PRACTISE, SETTINGS
from app.ui.logbook.answering import read_page
from app.ui.window import Window
from exercises.drills import drill
from exercises.logbook.joining import add, rename
from exercises.logbook.joining import learner as learner_of
from exercises.trial.kept.record import record
from exercises.trial.trial import Answer
from synth.device.clock import utc_now
from tests.app.ui.practise.test_plan_screen import cut_off

pytestmark = pytest.mark.sampled(4)


def practised(logbook, who, trials=2):
    """Trials of a learner in the drill on the beat, right each time."""
    trial = drill("beat").make(1, 1)
    answer = Answer(trial.targets_s)
    for _ in range(trials):
        made = record(
            trial, answer, drill("beat").mark(trial, answer), when=utc_now().astimezone(), learner_id=who.id
        )
        logbook.add(made)


@pytest.fixture
def ada(logbook):
    made = add(logbook, "Ada Invented")
    practised(logbook, made)
    return made


@pytest.fixture
def keeper(ada):
    return Keeper(Settings(learner=ada.name, learner_id=ada.id, first_run_done=True, drill="beat"), settings_path())


@pytest.fixture
def window(qtbot, practice, logbook, keeper, no_lesson, qapp):
    practice.follow_day(Planned(logbook.path))
    made = Window(Session(practice, keeper))
    qtbot.addWidget(made)
    made.resize(1280, 800)
    made.show()
    made.activateWindow()
    qtbot.waitUntil(made.isActiveWindow)
    made.contents.practise.tick()
    yield made
    made.close()
    speak(qapp, "en")


def pick(window, label):
    """Choose who practises, as a person does."""
    who = window.contents.practise.who
    who.box.setCurrentText(label)
    who.box.activated.emit(who.box.currentIndex())
    window.contents.practise.tick()


def offered(window):
    box = window.contents.practise.who.box
    return [box.itemText(at) for at in range(box.count())]


def shown(window):
    """Whether the part in question is on the screen, which is made anew with another language."""
    QApplication.processEvents()
    window.contents.practise.redraw()
    return window.contents.practise.who.isVisible()


def test_somebody_alone_is_not_asked(window):
    assert not shown(window)


def test_several_are_chosen_from_on_the_plans_page_alone(window, logbook, ada, qtbot):
    add(logbook, "Bo Invented")
    assert shown(window)
    assert offered(window) == ["Ada Invented", "Bo Invented"]
    assert window.contents.practise.who.box.currentText() == "Ada Invented"
    assert cut_off(window) == []
    window.contents.practise.choose_freely()
    assert not shown(window)


def test_each_has_a_plan_and_levels_of_their_own(window, logbook, ada, practice):
    bo = add(logbook, "Bo Invented")
    shown(window)
    assert set(practice.learner.levels().tried) == {"beat"}
    practice.day.skip()
    at = practice.today.at
    pick(window, "Bo Invented")
    assert (practice.learner.name, practice.learner.id) == ("Bo Invented", bo.id)
    assert practice.today.at == 0
    assert set(practice.learner.levels().tried) == set()
    assert practice.today.plan.items[0].drill == "count-along"
    pick(window, "Ada Invented")
    assert (practice.today.at, set(practice.learner.levels().tried)) == (at, {"beat"})


def test_two_of_one_name_stay_two(window, logbook, ada, practice):
    other = add(logbook, "Ada Invented")
    practised(logbook, other, 3)
    shown(window)
    labels = offered(window)
    assert [label.startswith("Ada Invented #") for label in labels] == [True, True]
    pick(window, labels[1])
    assert practice.learner.id == other.id
    assert [logbook.count(each.id) for each in logbook.known()] == [2, 3]


def test_the_logbook_tells_two_of_one_name_apart(window, logbook, ada):
    """In the list, in its head, and in what is said of each trial."""
    other = add(logbook, "Ada Invented")
    practised(logbook, other, 1)
    label = logbook.known()[1].label
    page = read_page(logbook, Question(other.id))
    assert page.learners == tuple((each.id, each.label) for each in logbook.known())
    assert str(page.head).startswith(f"{label}: 1 trial")
    assert [each.learner for each in page.latest] == [label]


def test_choices_follow_the_learner_and_devices_the_computer(window, logbook, ada, keeper, qapp):
    add(logbook, "Bo Invented")
    window.change({"voice": "es", "minutes_a_day": 20, "in_every_plan": "one", "latency_ms": 100})
    window.contents.volume.setValue(33)
    window.session.practice.choose(Wish("beat"))
    shown(window)
    pick(window, "Bo Invented")
    now = keeper.now
    assert (now.minutes_a_day, now.in_every_plan, now.drill, now.latency_ms) == (10, "", "", 100)
    window.change({"language": "es", "text_percent": 150, "minutes_a_day": 5, "voice": "en", "in_no_plan": "drum"})
    assert shown(window)
    assert window.contents.practise.heading.text() == "La práctica de hoy"
    pick(window, "Ada Invented")
    now = keeper.now
    assert (now.language, now.text_percent, now.voice, now.minutes_a_day) == ("system", 100, "es", 20)
    assert (now.in_every_plan, now.in_no_plan, now.drill, now.latency_ms) == ("one", "", "beat", 100)
    assert window.contents.practise.heading.text() == "Today's practice"
    assert window.session.practice.ahead.language == "es"
    pick(window, "Bo Invented")
    assert (keeper.now.language, keeper.now.in_no_plan) == ("es", "drum")
    assert load(settings_path(), utc_now()).settings == keeper.now


def test_choices_that_cannot_be_kept_stay_and_are_told(window, logbook, ada, keeper, tmp_path):
    add(logbook, "Bo Invented")
    shown(window)
    (tmp_path / "file").write_text("")
    keeper.path = tmp_path / "file" / "settings.toml"
    pick(window, "Bo Invented")
    assert keeper.now.learner_id == ada.id
    assert "folder" in window.contents.practise.notice.text()
    assert window.contents.practise.who.box.currentText() == "Ada Invented"


def test_another_name_in_the_settings_leaves_everything(window, logbook, ada, practice, keeper):
    window.contents.show_tab(SETTINGS)
    field = window.contents.settings._learner
    field.setText("  Eva   Invented ")
    field.editingFinished.emit()
    assert [(each.id, each.name) for each in logbook.known()] == [(ada.id, "Eva Invented")]
    assert (keeper.now.learner, keeper.now.learner_id, practice.learner.name) == (
        "Eva Invented",
        ada.id,
        "Eva Invented",
    )
    assert set(practice.learner.levels().tried) == {"beat"}
    window.contents.show_tab(LOGBOOK)
    window.contents.logbook.screen.wait()
    assert window.contents.logbook.screen.page.trials == 2
    window.contents.show_tab(PRACTISE)
    assert not shown(window)


def test_no_name_that_is_typed_hides_a_trial(window, logbook, ada, practice):
    """Neither that of somebody else, nor one that cannot be one, nor none."""
    bo = add(logbook, "Bo Invented")
    window.contents.show_tab(SETTINGS)
    for name in ("Bo Invented", "", "x #1234", "Ada Invented", "me"):
        window.contents.settings._learner.setText(name)
        window.contents.settings._learner.editingFinished.emit()
        assert practice.learner.key == ada.id
        assert [logbook.count(each) for each in (practice.learner.key, bo.id)] == [2, 0]
        assert set(practice.learner.levels().tried) == {"beat"}
    assert [each.name for each in logbook.known()] == ["me", "Bo Invented"]


def test_what_cannot_be_a_name_is_told(window, ada, logbook):
    window.contents.show_tab(SETTINGS)
    settings = window.contents.settings
    settings._learner.setText("x #1234")
    settings._learner.editingFinished.emit()
    assert "cannot be a name" in settings._notice.text()
    assert settings._learner.text() == "Ada Invented"


def test_a_learner_is_added_by_a_button_of_its_own_and_does_not_practise_yet(window, qtbot, logbook, ada, practice):
    window.contents.show_tab(SETTINGS)
    another = window.contents.settings.another
    assert not another.field.isVisible()
    qtbot.mouseClick(another.open, Qt.MouseButton.LeftButton)
    assert another.field.hasFocus()
    qtbot.keyClick(another.field, Qt.Key.Key_Return)
    assert len(logbook.known()) == 1
    qtbot.keyClicks(another.field, "Ada Invented")
    qtbot.keyClick(another.field, Qt.Key.Key_Return)
    assert [each.name for each in logbook.known()] == ["Ada Invented", "Ada Invented"]
    assert practice.learner.key == ada.id
    assert "is added" in another.said.text()
    assert logbook.known()[1].label in another.said.text()
    window.contents.show_tab(PRACTISE)
    assert shown(window)


def test_nobody_is_added_while_nothing_is_saved(window, practice):
    practice.learner.logbook = None
    window.contents.show_tab(SETTINGS)
    window.contents.settings.another.added.emit("Bo")
    assert "No learner can be added" in window.contents.settings.another.said.text()


def test_a_name_given_by_a_command_shows_here(window, logbook, ada):
    add(logbook, "Bo Invented")
    rename(logbook, learner_of(logbook, ada.id), "Eva")
    assert shown(window)
    assert offered(window) == ["Eva", "Bo Invented"]


def test_somebody_without_a_trial_can_go_back_to_themselves(window, qtbot, practice, logbook, ada):
    """One who has no row in the logbook yet stands in the list, and is told from another of the name."""
    practice.learner.name, practice.learner.id = "Ada Invented", "f" * 32
    assert shown(window)
    labels = offered(window)
    assert labels == ["Ada Invented", "Ada Invented #ffff"]
    assert window.contents.practise.who.box.currentText() == labels[1]
