"""The first run, the settings screen and the line at the foot, by keys and by mouse, on a silent player."""

from concurrent.futures import Executor, Future
from datetime import UTC, datetime

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QShortcut
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QLineEdit, QSlider, QSpinBox

from app.demo.simulated import simulate
from app.inputs.calibrator import Stage
from app.inputs.equipment import Equipment
from app.inputs.taps import Tap
from app.practice.learner.present_learner import PresentLearner
from app.practice.pause import PAUSE_AFTER_S, REST_S, Sitting
from app.practice.plan.placing import Placing, first_of_all
from app.practice.practice import Practice
from app.practice.trial.attempt import Phase
from app.practice.trial.next_trial import Ahead
from app.practice.trial.void_messages import BEGAN_AGAIN
from app.session import Session
from app.settings import Keeper, Settings, load, settings_path
from app.ui.base import theme
from app.ui.heading import HELP, SETTINGS
from app.ui.window import Window
from app.volume import gain_of
from exercises.calibration.tapping import TAPS, WAY_IN
from exercises.drills import drills
from exercises.learner.placement import LONGEST_S
from exercises.logbook.joining import add
from synth.device.faults import Fault, FaultKind

pytestmark = pytest.mark.sampled(5)


class Later(Executor):
    """A worker that works when it is told to."""

    def __init__(self) -> None:
        self.waiting: list = []

    def submit(self, fn, /, *args, **kwargs) -> Future:
        future: Future = Future()
        self.waiting.append(lambda: future.set_result(fn(*args, **kwargs)))
        return future

    def work(self) -> None:
        while self.waiting:
            self.waiting.pop(0)()


@pytest.fixture
def keeper() -> Keeper:
    return Keeper(Settings(), settings_path())


@pytest.fixture
def window(qtbot, practice, keeper):
    made = Window(Session(practice, keeper))
    qtbot.addWidget(made)
    made.contents.show_welcome()
    made.show()
    made.activateWindow()
    qtbot.waitUntil(made.isActiveWindow)
    yield made
    made.close()


@pytest.fixture
def welcome(window):
    return window.contents.first_run.welcome


def answer(window, player, who: str = "perfect") -> None:
    """Answer the trial that sounds as a simulated learner would, and let it end."""
    practice, screen = window.session.practice, window.contents.practise
    given = simulate(who, practice.trial, 5)
    for at_s in given.taps_s if practice.attempt.by_taps else ():
        practice.attempt.tap(Tap(player.start_s + float(at_s), "key", True))
    player.now_s = player.start_s + practice.attempt.trial_end_s() + 0.001
    screen.tick()
    if practice.phase is Phase.ASKING:
        screen.answer(str(given.value))


class TestByKeys:
    """The whole first run without a mouse."""

    def test_return_alone_leads_to_the_first_trial(self, window, welcome, qtbot, keeper, player):
        """Four pages, one key each, and the fifth starts the sound."""
        pages = []
        for _ in range(4):
            pages.append(welcome.page)
            qtbot.keyClick(window, Qt.Key.Key_Return)
        assert pages == [0, 1, 2, 3]
        assert window.contents.stack.currentWidget() is window.contents.practise
        assert load(settings_path(), datetime.now(UTC)).settings.first_run_done
        assert window.session.practice.wish.drill == first_of_all().drill
        qtbot.keyClick(window, Qt.Key.Key_Return)
        assert window.session.practice.phase is Phase.SOUNDING

    def test_a_name_is_asked_for_and_may_stay_empty(self, window, welcome, qtbot, keeper, practice):
        """It is typed as the welcome opens; empty, the learner has the neutral name and practises all the same."""
        assert welcome._name.hasFocus()
        qtbot.keyClick(window, Qt.Key.Key_Return)
        assert (welcome.page, keeper.now.learner, practice.learner.name) == (1, "me", "me")
        window.contents.show_welcome()
        qtbot.keyClicks(QApplication.focusWidget(), "Ada  Invented ")
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
        assert (welcome.page, keeper.now.learner, practice.learner.name) == (1, "Ada Invented", "Ada Invented")
        assert load(settings_path(), datetime.now(UTC)).settings.learner == "Ada Invented"

    def test_the_name_stands_there_the_next_time_and_another_one_is_another_name(
        self, window, welcome, qtbot, keeper, practice
    ):
        """Whoever has trials keeps them; a language chosen after typing forgets nothing."""
        qtbot.keyClicks(QApplication.focusWidget(), "Ada")
        qtbot.keyClick(window, Qt.Key.Key_Escape)
        who = add(practice.learner.logbook, "Ada")
        window.change({"learner": "Ada", "learner_id": who.id})
        window.contents.show_welcome()
        assert welcome._name.text() == "Ada"
        told = [each.text() for each in welcome.findChildren(QLabel) if each.isVisible()]
        assert any(text.startswith("Another name is a new name for you: your trials stay.") for text in told)
        assert welcome.next.hasFocus()
        welcome._name.setText("Eva")
        welcome._name.editingFinished.emit()  # the field is left for the choice of a language
        window.change({"language": "es"})
        assert window.contents.first_run.welcome._name.text() == "Eva"
        window.change({"language": "en"})
        assert [(each.id, each.name) for each in practice.learner.logbook.known()] == [(who.id, "Eva")]
        assert practice.learner.key == who.id

    def test_what_cannot_be_a_name_is_told_on_the_next_page(self, window, welcome, qtbot, keeper):
        qtbot.keyClicks(QApplication.focusWidget(), "x #1234")
        qtbot.keyClick(window, Qt.Key.Key_Return)
        assert keeper.now.learner == "me"
        assert "cannot be a name" in welcome.told.text()

    @pytest.mark.parametrize("by", ["letter", "tab"])
    @pytest.mark.proof
    def test_the_quiet_line_chooses_the_placement_run(self, window, welcome, qtbot, by):
        for _ in range(3):
            qtbot.keyClick(window, Qt.Key.Key_Return)
        if by == "letter":
            qtbot.keyClick(window, Qt.Key.Key_F)
        else:
            while not welcome.trials.hasFocus():
                qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
            qtbot.keyClick(window, Qt.Key.Key_Return)
        assert window.contents.first_run.placing
        assert window.contents.first_run.bar.isVisible()

    def test_escape_skips_it_all(self, window, qtbot, keeper):
        qtbot.keyClick(window, Qt.Key.Key_Escape)
        assert window.contents.stack.currentWidget() is window.contents.practise
        assert keeper.now.first_run_done

    def test_a_notice_takes_its_room_from_the_sheet(self, window, welcome, qtbot):
        window.resize(1280, 800)
        welcome.show_page(1)
        welcome._board.notice = BEGAN_AGAIN()
        welcome._show_check()
        QApplication.processEvents()
        view = welcome._pages.currentWidget()
        assert welcome.notice.isVisible()
        assert view.verticalScrollBar().maximum() == 0

    def test_the_groove_sounds_on_its_page_alone(self, window, welcome, qtbot, player):
        assert not player.playing
        qtbot.keyClick(window, Qt.Key.Key_Return)
        assert player.playing
        assert player.loop_frames > 0
        qtbot.keyClick(window, Qt.Key.Key_Return)
        assert not player.playing

    def test_the_level_check_begins_low_and_arrow_keys_turn_it_up(self, window, welcome, qtbot, player):
        qtbot.keyClick(window, Qt.Key.Key_Return)
        assert player.gain == gain_of(25)
        assert 20 * np.log10(player.gain) == pytest.approx(-30)
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Right)
        assert player.gain == gain_of(26)
        assert window.contents.volume.value() == 26

    def test_it_begins_low_the_second_time_too(self, window, welcome, qtbot, player):
        """However loud it was left: the computer's own volume may be another by now."""
        qtbot.keyClick(window, Qt.Key.Key_Return)
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_End)
        qtbot.keyClick(window, Qt.Key.Key_Escape)
        window.contents.show_welcome()
        qtbot.keyClick(window, Qt.Key.Key_Return)
        assert (player.playing, player.gain) == (True, gain_of(25))
        assert (welcome.slider.value(), window.contents.volume.value()) == (25, 25)

    def test_return_held_down_goes_on_by_one_page(self, welcome):
        """Past the cautions nobody shall run: Qt repeats a shortcut while its key is held, unless told not to."""
        keys = {each.key().toString(): each for each in welcome.findChildren(QShortcut)}
        assert not keys["Return"].autoRepeat()
        assert not keys["Enter"].autoRepeat()

    def test_no_key_makes_it_louder_than_the_cap(self, window, welcome, qtbot, player):
        qtbot.keyClick(window, Qt.Key.Key_Return)
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_End)
        assert player.gain == 1.0


class TestByMouse:
    """The whole first run without a key."""

    def test_clicks_alone_lead_to_the_first_trial(self, window, welcome, qtbot):
        for _ in range(3):
            qtbot.mouseClick(welcome.next, Qt.MouseButton.LeftButton)
        qtbot.mouseClick(welcome.next, Qt.MouseButton.LeftButton)
        qtbot.mouseClick(window.contents.practise.steps.next, Qt.MouseButton.LeftButton)
        assert window.session.practice.phase is Phase.SOUNDING

    def test_back_goes_back(self, window, welcome, qtbot):
        qtbot.mouseClick(welcome.next, Qt.MouseButton.LeftButton)
        qtbot.mouseClick(welcome.back, Qt.MouseButton.LeftButton)
        assert welcome.page == 0

    def test_the_settings_bring_it_back(self, window, welcome, qtbot):
        qtbot.keyClick(window, Qt.Key.Key_Escape)
        qtbot.keyClick(window, Qt.Key.Key_Comma, Qt.KeyboardModifier.ControlModifier)
        assert window.contents.stack.currentWidget() is window.contents.settings
        again = next(b for b in window.contents.settings.findChildren(QAbstractButton) if "welcome" in b.text())
        qtbot.mouseClick(again, Qt.MouseButton.LeftButton)
        assert window.contents.stack.currentWidget() is welcome
        assert welcome.page == 0

    def test_the_delay_is_measured_on_its_page_and_return_goes_on(self, window, welcome, qtbot, player):
        """By keys alone: K, a tap a click, Return. Nothing of devices is shown; the taps still wanted are counted."""
        player.description = "Invented output (Host), 48000 Hz, 81 ms"
        welcome.show_page(2)
        assert welcome.next.text() == "Later"
        qtbot.keyClick(window, Qt.Key.Key_K)
        card = welcome.measuring
        assert card.pad.isVisible()
        assert not welcome.next.isEnabled()
        assert welcome.skip.hint.isHidden()  # Escape ends the measurement alone
        assert card.pad.wanted.text() == "Taps still wanted: 30"
        for at_s in card.calibrator.starts_s[WAY_IN : WAY_IN + 10]:
            card.calibrator.tap(Tap(player.start_s + float(at_s) + 0.02, "key", True))
        card.tick()
        assert card.pad.wanted.text() == "Taps still wanted: 20"
        assert card.pad.strokes.taps == 10
        for at_s in card.calibrator.starts_s[WAY_IN + 10 : WAY_IN + TAPS]:
            card.calibrator.tap(Tap(player.start_s + float(at_s) + 0.02, "key", True))
        card.tick()
        assert window.session.practice.equipment.fitting("key") is not None
        assert (welcome.next.text(), welcome.next.hasFocus(), welcome.page) == ("Next", True, 2)
        assert welcome.skip.hint.isVisible()
        assert not any("worth doing now" in each.text() for each in welcome.findChildren(QLabel) if each.isVisible())
        assert "Hz" not in " ".join(each.text() for each in welcome.findChildren(QLabel) if each.isVisible())
        qtbot.keyClick(window, Qt.Key.Key_Return)
        assert welcome.page == 3

    def test_the_next_page_breaks_a_measurement_off(self, window, welcome, qtbot, player):
        player.description = "Invented output (Host), 48000 Hz, 81 ms"
        welcome.show_page(2)
        qtbot.mouseClick(welcome.measuring.tapping, Qt.MouseButton.LeftButton)
        qtbot.mouseClick(welcome.back, Qt.MouseButton.LeftButton)
        assert welcome.measuring.calibrator.stage is Stage.IDLE

    def test_without_a_sound_output_the_check_says_so_and_goes_on(self, window, welcome, qtbot, player):
        from synth.base.errors import Trouble

        player.trouble = Trouble("No sound output was found: connect one.")
        qtbot.mouseClick(welcome.next, Qt.MouseButton.LeftButton)
        assert welcome.notice.isVisible()
        assert "No sound output" in welcome.notice.text()
        qtbot.mouseClick(welcome.next, Qt.MouseButton.LeftButton)
        assert welcome.page == 2


def test_the_cautions_hold_the_published_figures(welcome):
    """WHO-ITU H.870 (2018, from secondary sources): 80 dBA, 40 h a week, children 75 dBA; 3 dB exchange."""
    words = " ".join(each.text() for each in welcome.findChildren(QLabel))
    for needed in (
        "80\N{NO-BREAK SPACE}dBA for 40 hours a week",
        "for children 75\N{NO-BREAK SPACE}dBA",
        "Every 3\N{NO-BREAK SPACE}dB",
        "cannot know",
        "see a doctor",
    ):
        assert needed in words
    assert "driving" in words


@pytest.mark.proof
@pytest.mark.parametrize("percent", [100, 200])
def test_every_control_of_a_page_is_named_large_enough_and_reached(window, welcome, percent):
    """WCAG 2.2: 4.1.2 name, 2.5.8 targets of 24 px, 2.1.1 keyboard."""
    window.resize(1280, 800)
    window.change({"text_percent": percent})
    for page in range(4):
        welcome.show_page(page)
        QApplication.processEvents()
        controls = [*welcome.findChildren(QAbstractButton), *welcome.findChildren(QSlider)]
        shown = [each for each in controls if each.isVisible()]
        assert shown
        for each in shown:
            assert each.accessibleName(), page
            assert min(each.width(), each.height()) >= 24, page
            assert each.focusPolicy() & Qt.FocusPolicy.TabFocus, page
            # Nothing is squeezed below what its words need.
            assert each.width() >= each.minimumSizeHint().width(), page


class TestPlacement:
    """A placement run in the window."""

    @pytest.fixture
    def bar(self, window, welcome, player, monkeypatch):
        monkeypatch.setattr("app.ui.practise.plan.placement_bar.now_s", lambda: player.now_s)
        window.session.practice.now = lambda: player.now_s
        welcome.finished.emit(True)
        return window.contents.first_run.bar

    @pytest.mark.proof
    def test_it_asks_its_own_trials_and_ends_with_a_drill_that_fits(self, window, bar, player, qtbot, logbook):
        asked = []
        while not bar.run.over and len(asked) < 30:
            place = bar.run.place
            qtbot.keyClick(window, Qt.Key.Key_Return)
            bar.tick()
            trial = window.session.practice.trial
            assert (trial.drill, trial.rung) == (place.drill, place.rung)
            assert not window.contents.practise.choosing.isVisible()
            answer(window, player)
            asked.append(place)
        assert 3 <= len(asked) <= 20
        assert len(logbook.trials(100)) == len(asked)
        # Who gets everything right begins further up than somebody new.
        assert drills()[window.session.practice.wish.drill].place > drills()[first_of_all().drill].place
        assert window.session.practice.wish.rung is None
        assert window.session.practice.course.by_hand
        qtbot.keyClick(window, Qt.Key.Key_Return)
        bar.tick()
        assert not bar.isVisible()

    def test_it_can_be_broken_off(self, window, bar, player, qtbot):
        qtbot.keyClick(window, Qt.Key.Key_Return)
        bar.tick()
        answer(window, player)
        assert bar.run.asked == 1
        qtbot.mouseClick(bar.stop, Qt.MouseButton.LeftButton)
        assert window.session.practice.course.by_hand
        qtbot.keyClick(window, Qt.Key.Key_Return)
        assert window.session.practice.phase is Phase.SOUNDING

    def test_another_way_of_counting_leaves_it_guided(self, window, bar, player, qtbot):
        window.change({"way": "letters"})
        assert not window.contents.practise.choosing.isVisible()
        qtbot.keyClick(window, Qt.Key.Key_Return)
        bar.tick()
        answer(window, player)
        assert (window.session.practice.next_wish.drill, window.session.practice.next_wish.way) == (
            bar.run.place.drill,
            "letters",
        )

    def test_what_it_asks_is_not_kept_as_a_choice(self, window, bar, keeper):
        assert bar.run.place is not None
        window.close()
        assert keeper.now.drill == ""
        assert keeper.now.first_run_done

    def test_the_window_does_not_wait_while_the_first_trial_is_chosen(self, qtbot, player, logbook):
        workers = Later()
        made = Window(Session(Practice(Equipment(player), PresentLearner(logbook), Ahead(lambda: 1, workers))))
        qtbot.addWidget(made)
        made.contents.show_welcome()
        made.contents.first_run.welcome.finished.emit(True)
        bar = made.contents.first_run.bar
        assert bar.run.place is None
        assert not bar.run.over
        workers.work()
        bar.tick()
        assert bar.run.place is not None
        assert made.session.practice.next_wish.drill == bar.run.place.drill

    def test_a_void_trial_tells_nothing(self, window, bar, player, qtbot):
        qtbot.keyClick(window, Qt.Key.Key_Return)
        bar.tick()
        player.faults = (Fault(FaultKind.UNDERFLOW),)
        window.contents.practise.tick()
        assert window.session.practice.phase is Phase.VOID
        assert bar.run.asked == 0

    def test_the_time_is_that_from_the_sound_to_the_mark(self, practice, player):
        run = practice.course = Placing(practice.course)
        run.begin()
        now_s = 50.0
        practice.now = lambda: now_s
        practice.start()
        assert run.used_s(57.5) == 7.5
        for target in practice.trial.targets_s:
            practice.attempt.tap(Tap(player.start_s + float(target), "key", True))
        player.now_s = player.start_s + practice.attempt.trial_end_s() + 0.001
        now_s = 62.0
        practice.tick()
        if practice.phase is Phase.ASKING:
            practice.answer_with(str(practice.trial.expected))
        assert run.run.used_s == 12.0
        assert run.used_s(900.0) == 12.0 < LONGEST_S
        place = run.place
        for counts in (False, True):  # as the learner says that it does not count, and that it does
            practice.withdraw()
            assert run.asked == counts
            assert (run.place == place) is counts


class TestSettingsScreen:
    """Choices hold at once and are kept."""

    @pytest.fixture
    def screen(self, window, qtbot):
        qtbot.keyClick(window, Qt.Key.Key_Escape)
        window.contents.show_tab(99)
        return window.contents.settings

    @staticmethod
    def click(screen, qtbot, name: str) -> None:
        (found,) = (b for b in screen.findChildren(QAbstractButton) if b.accessibleName() == name)
        qtbot.mouseClick(found, Qt.MouseButton.LeftButton)

    def test_colours_and_text_size(self, window, screen, qtbot, keeper):
        self.click(screen, qtbot, "Colours: Dark")
        assert theme.DARK.paper in QApplication.instance().styleSheet()
        before = screen.findChild(QAbstractButton).fontMetrics().height()
        self.click(screen, qtbot, "Text size: 200\N{NO-BREAK SPACE}%")
        assert screen.findChild(QAbstractButton).fontMetrics().height() >= 1.9 * before
        kept = load(keeper.path, datetime.now(UTC)).settings
        assert (kept.theme, kept.text_percent) == ("dark", 200)

    def test_letters_reach_the_next_trial(self, window, screen, qtbot):
        self.click(screen, qtbot, "Count: 1 A B C, 2 A B C")
        assert window.session.practice.wish.way == "letters"
        window.contents.show_tab(0)
        window.contents.practise.go_on()
        assert window.contents.practise.sheet.way == "letters"

    def test_name_and_minutes(self, window, screen, qtbot, keeper):
        name = screen.findChild(QLineEdit)
        name.setText("  Ana   María ")
        name.editingFinished.emit()
        screen.findChild(QSpinBox).setValue(15)
        assert (keeper.now.learner, keeper.now.minutes_a_day) == ("Ana María", 15)
        assert window.session.practice.learner.name == "Ana María"
        name.setText("   ")
        name.editingFinished.emit()
        assert keeper.now.learner == "Ana María"

    def test_minutes_chosen_beside_the_plan_are_shown(self, window, screen):
        window.contents.show_tab(0)
        window.contents.practise.minutes_chosen.emit(25)
        window.contents.show_tab(99)
        assert screen.findChild(QSpinBox).value() == 25

    def test_what_cannot_be_kept_is_said(self, window, screen, qtbot, keeper, tmp_path):
        (tmp_path / "file").write_text("")
        keeper.path = tmp_path / "file" / "settings.toml"
        self.click(screen, qtbot, "Count: 1 A B C, 2 A B C")
        assert screen._notice.isVisible()
        assert "folder is expected" in screen._notice.text()

    def test_less_movement_marks_the_one_of_the_bar(self, window, screen, qtbot):
        from synth.score.metre import steady_count

        self.click(screen, qtbot, "Movement: Less")
        sheet = window.contents.practise.sheet
        sheet.show_count(steady_count(120.0, [4]))
        sheet.show_sounding(6)
        assert sheet.sounding == 4

    def test_no_two_shortcuts_are_the_same(self, window, screen):
        """Shortcuts of the whole window that are in force at a tab; a doubled one would do nothing."""
        for place in (*range(HELP + 1), SETTINGS):
            window.contents.show_tab(place)
            keys = [
                each.key().toString()
                for each in window.findChildren(QShortcut)
                if each.context() is Qt.ShortcutContext.WindowShortcut
                and each.isEnabled()
                and each.parent().isVisible()
            ]
            assert "Ctrl+1" in keys, place
            assert sorted(keys) == sorted(set(keys)), place
        window.session.shelf.close()


class TestSitting:
    """A pause after twenty minutes (common practice), suggested and never asked for."""

    def test_it_comes_after_twenty_minutes_and_goes_with_a_rest(self):
        sitting = Sitting()
        for at_s in range(0, 1200, 60):
            sitting.heard(float(at_s))
        assert not sitting.pause_due(PAUSE_AFTER_S - 1)
        assert sitting.pause_due(PAUSE_AFTER_S)
        assert not sitting.pause_due(1140 + REST_S)
        sitting.heard(1140 + REST_S)
        assert not sitting.pause_due(1140 + REST_S + 60)

    def test_the_line_holds_nobody_up(self, window, qtbot, player):
        qtbot.keyClick(window, Qt.Key.Key_Escape)
        player.playing = True
        for at_s in range(0, 1260, 60):
            window.contents.foot.look(float(at_s))
        assert "Twenty minutes" in window.contents.foot.pause.text()
        player.playing = False
        qtbot.keyClick(window, Qt.Key.Key_Return)
        assert window.session.practice.phase is Phase.SOUNDING
        window.contents.foot.look(1200.0 + REST_S)
        assert window.contents.foot.pause.text() == ""


def test_the_weeks_listening_is_the_logbooks(window, qtbot, player, logbook):
    """Five trials of known length: the line says their minutes."""
    qtbot.keyClick(window, Qt.Key.Key_Escape)
    window.contents.practise.offer(window.session.practice.wish.__class__("beat", 1))
    for _ in range(5):
        qtbot.keyClick(window, Qt.Key.Key_Return)
        answer(window, player)
    minutes = sum(record.sound_s for record in logbook.trials(10)) / 60
    assert f" {round(minutes)}\N{NO-BREAK SPACE}min" in window.contents.foot.week.text()


def test_window_and_choices_are_kept_for_the_next_start(window, qtbot, keeper):
    qtbot.keyClick(window, Qt.Key.Key_Escape)
    window.resize(1000, 700)
    window.contents.volume.setValue(33)
    window.contents.practise.choose(window.session.practice.wish.__class__("turn", 2, 118.0, "techno"))
    window.close()
    kept = load(keeper.path, datetime.now(UTC)).settings
    assert (kept.window_width_px, kept.window_height_px, kept.volume) == (1000, 700, 33)
    assert (kept.drill, kept.rung, kept.groove, kept.tempo_bpm) == ("turn", 2, "techno", 118.0)
