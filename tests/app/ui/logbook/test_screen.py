"""The logbook screen on a logbook of invented weeks: what it says agrees with what the logbook holds."""

import csv
import re
import sqlite3
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from unittest.mock import Mock

import numpy as np
import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QImage, QMouseEvent
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLabel

from app.demo.simulated import simulate
from app.ui.base import theme
from app.ui.base.words import unbroken
from app.ui.charts.content import Question
from app.ui.charts.plot import Plot
from app.ui.dress import dress
from app.ui.logbook.answering import read_page
from app.ui.logbook.screen import LogbookScreen
from exercises.drills import drills
from exercises.logbook.store import Logbook
from exercises.logbook.transfer import export
from exercises.trial.kept.record import record
from synth.base.errors import Trouble

pytestmark = pytest.mark.sampled(4)

NOW = datetime(2030, 5, 1, 12, tzinfo=UTC)
LEARNER = "Invented learner A"


@pytest.fixture(scope="module")
def invented(invented_weeks):
    """Six invented weeks, the fewest in which a spread surely changes; read by the tests and not written."""
    with Logbook.open(invented_weeks(6, 1, NOW)) as logbook:
        yield logbook


@pytest.fixture(scope="module")
def opened(qapp, invented) -> Iterator[LogbookScreen]:
    """One screen for all tests: to make its charts takes the longest."""
    dress(theme.LIGHT)
    made = LogbookScreen(invented, LEARNER)
    made.resize(1280, 740)
    made.show()
    yield made
    made.close()
    made.deleteLater()


@pytest.fixture
def screen(opened) -> LogbookScreen:
    """The screen as it is when it is opened, on all drills."""
    opened.show_learner(LEARNER)
    opened.refresh()
    opened.wait()
    return opened


def shown(screen, drill: str) -> dict:
    """The cards that are to be seen when a drill is opened."""
    screen.open_drill(drill)
    screen.wait()
    return {name: card for name, card in screen.content.cards.items() if not card.isHidden()}


def changed_spread(screen):
    """The card of a spread that surely changed, and so has a curve and a band."""
    screen.show_learner("Invented learner C")
    screen.refresh()
    screen.wait()
    return shown(screen, "beat")["spread"]


def unchanged(screen, drill) -> bool:
    """Whether a drill has a spread that did not surely change."""
    shown(screen, drill)
    change = screen.page.trend.change
    return change is not None and not change.called


def texts(screen) -> str:
    """Everything that the labels on the screen say."""
    return "\n".join(each.text() for each in screen.findChildren(QLabel) if each.isVisibleTo(screen))


def test_the_ladder_says_where_the_learner_stands(screen, invented):
    """The rung of every drill is that of the summary."""
    from exercises.progress.summary import summary

    told = screen.content.cards["ladder"].picture.accessibleDescription()
    for done, trend, _ in summary(invented, LEARNER).drills:
        from exercises.drills import drills

        rung = f"rung {trend.rung} of {trend.rungs}" if trend.known else "not enough answers yet"
        assert f"{drills()[done.drill].title()}: {rung}" in told


def test_the_interval_on_the_ladder_holds_its_rung(invented):
    places = [place for place in read_page(invented, Question(LEARNER)).places if place.rung is not None]
    assert places
    for place in places:
        assert 1 <= place.low <= place.rung <= place.high <= place.rungs


def test_the_minutes_agree_with_the_rows_of_the_export(screen, invented, tmp_path):
    """Checked against the CSV export, read with the standard library; weeks of ISO 8601 start on Monday."""
    export(invented, tmp_path / "all.csv", learner=LEARNER)
    spent_s: dict[tuple[int, int], float] = {}
    with (tmp_path / "all.csv").open(newline="", encoding="utf-8") as file:
        for row in csv.DictReader(file):
            week = datetime.fromisoformat(row["when"]).isocalendar()[:2]
            spent_s[week] = spent_s.get(week, 0.0) + float(row["spent_s"])
    chart = screen.content.cards["minutes"].picture
    np.testing.assert_allclose(chart.ys, [spent_s[week] / 60 for week in sorted(spent_s)], atol=0.02)


def test_arrow_keys_move_the_marker_and_say_the_value(screen, qtbot):
    card = shown(screen, "beat")["spread"]
    chart = card.picture
    last = len(chart.xs) - 1
    assert chart.marked == last
    assert unbroken(f"spread {chart.ys[last]:.0f} ms") in card.value.text()
    for key, at in ((Qt.Key.Key_Left, last - 1), (Qt.Key.Key_Home, 0), (Qt.Key.Key_Left, 0), (Qt.Key.Key_Right, 1)):
        qtbot.keyClick(chart, key)
        assert chart.marked == at
        assert unbroken(f"spread {chart.ys[at]:.0f} ms") in card.value.text()
        assert chart.accessibleDescription() == card.value.text()
    assert chart.accessibleName() == card.title.text()


def test_the_mouse_shows_the_nearest_value(screen, qapp):
    chart = shown(screen, "beat")["spread"].picture
    for at in (0, 3):
        place = chart.field().at(float(chart.xs[at]), 0.0)
        no = Qt.MouseButton.NoButton, Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier
        # Not through a cursor: the one screen of a test has one, and a window before has moved it.
        qapp.sendEvent(chart, QMouseEvent(QEvent.Type.MouseMove, place, chart.mapToGlobal(place), *no))
        assert chart.marked == at


def test_the_points_of_the_spread_are_the_days_of_the_file(screen, invented):
    """Checked against SQLite's own mean over the trials, the sums of days left aside."""
    with sqlite3.connect(invented.path) as file:
        rows = file.execute(
            "SELECT avg(json_extract(result, '$.spread_ms')) FROM trials JOIN learners ON learners.id = learner"
            " WHERE name = ? AND drill = 'beat' AND json_extract(result, '$.hits') * 2 >="
            " json_extract(result, '$.targets') GROUP BY substr(at, 1, 10), bench ORDER BY 1 * 0, substr(at, 1, 10)",
            (LEARNER,),
        ).fetchall()
    file.close()
    chart = shown(screen, "beat")["spread"].picture
    np.testing.assert_allclose(np.sort(chart.ys), np.sort([row[0] for row in rows if row[0] is not None]), rtol=1e-9)


def test_a_drill_without_spread_has_no_spread_chart(screen):
    cards = shown(screen, "stopped-beat")
    assert "spread" not in cards
    assert {"share", "rung", "wrong"} <= set(cards)


def test_before_there_is_enough_the_note_says_nothing_of_a_curve(screen):
    card = shown(screen, "turn")["spread"]
    assert screen.page.trend.change is screen.page.trend.curve is None
    assert card.note.text().startswith("In ms, day by day")
    assert "curve" not in card.note.text()
    assert "Line: the practice curve" in changed_spread(screen).note.text()
    practised = [each.drill for each in screen.page.places if each.last is not None]
    unsure = (drill for drill in practised if unchanged(screen, drill))
    assert "Without a sure change" in shown(screen, next(unsure))["spread"].note.text()


def test_a_change_of_device_is_a_line_with_a_word(screen):
    plot = Mock(spec=Plot)
    shown(screen, "turn")["spread"].picture.draw(plot)
    ((changes, _),) = [call.args for call in plot.uprights.call_args_list]
    assert [words for _, words in changes] == ["other device"]


def test_each_bench_has_a_shape_of_its_own(screen):
    """Colour is not needed to tell the days before and after a change of device."""
    plot = Mock(spec=Plot)
    shown(screen, "turn")["spread"].picture.draw(plot)
    shapes = [call.args[2] for call in plot.points.call_args_list]
    assert len(set(shapes)) == len(shapes) == 2


def test_wrong_answers_are_told_in_words(screen):
    card = shown(screen, "stopped-beat")["wrong"]
    (expected, given), times = next(iter(screen.page.mistakes.said.items()))
    assert {expected, given} < {"the one", "the two", "the three", "the four"}
    often = "once" if times == 1 else f"{times} times"
    assert f"It was {expected}, you said {given}: {often}." in card.picture.accessibleDescription()


def test_invented_practice_is_called_so(screen, qtbot, practice):
    """On the screen of a simulated learner, and not on anybody else's."""
    assert "Invented: a simulated learner" in texts(screen)
    other = LogbookScreen(practice.learner.logbook)
    qtbot.addWidget(other)
    other.show()
    other.refresh()
    other.wait()
    assert "nvented" not in texts(other)
    assert "Nothing here yet" in texts(other)


def test_without_a_logbook_the_screen_says_so(qtbot):
    screen = LogbookScreen(None)
    qtbot.addWidget(screen)
    screen.show()
    screen.refresh()
    assert "Nothing is being saved at present." in texts(screen)


def test_what_being_busy_costs_stands_among_the_words_of_the_drill(qtbot, tmp_path):
    """The sentence of the summary, where it was practised busy, and nothing of it in another drill."""
    from app.demo.simulated import simulate
    from exercises.drills import drill as drill_named
    from exercises.progress.summary import summary
    from exercises.trial.kept.record import record
    from exercises.trial.modes import Mode

    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        for mode, drill, who in (
            (Mode.PLAIN, "one", "perfect"),
            (Mode.BUSY, "one", "on-the-three"),
            (Mode.PLAIN, "beat", "perfect"),
        ):
            for seed in range(12):
                trial = drill_named(drill).make(4, seed)
                answer = simulate(who, trial)
                result = drill_named(drill).mark(trial, answer)
                if mode is Mode.BUSY:
                    result = replace(result, figures={"side_shown": 10, "side_right": 9})
                logbook.add(record(trial, answer, result, when=NOW, mode=mode, simulated=True))
        told = str(summary(logbook, "me").busy["one"])
        screen = LogbookScreen(logbook, "me")
        qtbot.addWidget(screen)
        screen.show()
        screen.refresh()
        screen.wait()
        shown(screen, "one")
        assert "costs you about" in told
        assert told in texts(screen)
        shown(screen, "beat")
        assert "busy" not in texts(screen)


def test_the_first_page_is_there_at_once_words_and_charts(qtbot, invented):
    screen = LogbookScreen(invented, LEARNER)
    qtbot.addWidget(screen)
    screen.resize(1280, 740)
    screen.show()
    with qtbot.waitSignal(screen.shown):
        screen.refresh()
    assert "What to work on" in texts(screen)
    assert not screen.content.table.isHidden()
    assert not screen.content.cards["minutes"].isHidden()


def test_no_card_stands_beside_an_empty_half(screen):
    """At this width cards stand side by side; one that is left over takes the whole line."""
    shown(screen, "one")
    places = screen.content.places()
    for line, column, _, columns in places:
        if (column, columns) == (0, 1):
            assert (line, 1, 1, 1) in places


def test_weeks_under_a_chart_stand_evenly(screen):
    """The same number of weeks from each text to the next."""
    ticks = shown(screen, "beat")["rung"].picture.ticks()
    steps = np.diff([x for x, _ in ticks])
    assert len(ticks) > 2
    assert np.all(steps % steps.min() == 0)


def test_one_trial_of_a_day_is_not_many(screen):
    """English grammar, common practice, in what the markers say of every point of a drill's charts."""
    screen.show_learner("Invented learner C")
    screen.refresh()
    screen.wait()
    said = []
    for drill in ("one", "turn"):
        for name, card in shown(screen, drill).items():
            if name in ("spread", "bias", "share"):
                said += [card.picture.words(at) for at in range(len(card.picture.xs))]
    assert any("from 1 trial." in text for text in said)
    assert any("from 2 trials." in text for text in said)
    assert not [text for text in said if re.search(r"\b1 (trials|answers|minutes)", text)]


def test_choosing_a_learner_shows_theirs(screen, invented):
    screen.learner_box.setCurrentText("Invented learner B")
    screen.learner_box.activated.emit(screen.learner_box.currentIndex())
    screen.wait()
    assert screen.page.trials == len(invented.trials(learner="Invented learner B"))
    assert {record.learner for record in screen.page.latest} == {"Invented learner B"}


def pick(box: QComboBox, value: object) -> None:
    """Choose an entry as the mouse does."""
    box.setCurrentIndex(box.findData(value))
    box.activated.emit(box.currentIndex())


def pick_text(box, text: str):
    box.setCurrentText(text)
    box.activated.emit(box.currentIndex())


def id_of(logbook, name: str) -> str:
    return next(each.id for each in logbook.known() if each.name == name)


@pytest.fixture
def small(qtbot, tmp_path):
    """A logbook of two learners, of whom only the first has practised the one in more than one band of tempo."""
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        for learner, tempos in (("Xena", (90.0, 130.0)), ("Yves", (90.0,))):
            for seed, tempo_bpm in enumerate(tempos):
                logbook.add(one(seed, learner, tempo_bpm))
        yield logbook


def one(seed: int, learner: str, tempo_bpm: float):
    """A record of a simulated learner in the drill on the one."""
    trial = drills()["one"].make(4, seed)
    answer = simulate("perfect", trial)
    made = record(trial, answer, drills()["one"].mark(trial, answer), when=NOW, learner=learner, simulated=True)
    return replace(made, tempo_bpm=tempo_bpm)


def opened_on(qtbot, logbook, learner: str) -> LogbookScreen:
    screen = LogbookScreen(logbook, learner)
    qtbot.addWidget(screen)
    screen.show()
    screen.refresh()
    screen.wait()
    return screen


def test_a_tempo_that_another_learner_has_not_practised_gives_way_to_all(qtbot, small):
    screen = opened_on(qtbot, small, "Xena")
    shown(screen, "one")
    pick(screen.band_box, 2)
    screen.wait()
    assert screen.page.question == Question(id_of(small, "Xena"), "one", 2)
    pick_text(screen.learner_box, "Yves")
    screen.wait()
    assert screen.page.question == Question(id_of(small, "Yves"), "one")
    assert sum(day.trials for day in screen.page.trend.days) == 1
    assert screen.drill_box.currentData() == "one"


def test_somebody_without_trials_sees_nobody_elses(qtbot, small):
    """And sees their own from the first one on; the others can be looked at meanwhile."""
    screen = opened_on(qtbot, small, "Zoe")
    assert "Nothing here yet" in texts(screen)
    assert "other learners" in texts(screen)
    assert screen.page is None
    assert not screen.report.isVisible()
    pick_text(screen.learner_box, "Yves")
    screen.wait()
    assert {record.learner for record in screen.page.latest} == {"Yves"}
    assert screen.report.isVisible()
    assert "Nothing here yet" not in texts(screen)
    pick_text(screen.learner_box, "Zoe")
    screen.wait()
    assert screen.page is None
    small.add(one(7, "Zoe", 90.0))
    screen.refresh()
    screen.wait()
    assert {record.learner for record in screen.page.latest} == {"Zoe"}


def test_a_drill_and_a_tempo_can_be_chosen(screen):
    screen.drill_box.setCurrentText("The beat")
    screen.drill_box.activated.emit(screen.drill_box.currentIndex())
    screen.wait()
    assert {record.drill for record in screen.page.latest} == {"beat"}
    every = sum(day.trials for day in screen.page.trend.days)
    screen.band_box.setCurrentIndex(1)
    screen.band_box.activated.emit(1)
    screen.wait()
    assert 0 < sum(day.trials for day in screen.page.trend.days) < every


def test_return_on_the_ladder_opens_the_drill(screen, qtbot):
    ladder = screen.content.cards["ladder"].picture
    qtbot.keyClick(ladder, Qt.Key.Key_Down)
    qtbot.keyClick(ladder, Qt.Key.Key_Down)
    assert screen.content.cards["ladder"].value.text().startswith("The beat: rung")
    qtbot.keyClick(ladder, Qt.Key.Key_Return)
    screen.wait()
    assert screen.page.question.drill == "beat"


@pytest.mark.sweep(1)
@pytest.mark.parametrize("name", ["spread", "share", "lost"])
def test_a_chart_is_kept_as_svg_with_its_title(screen, tmp_path, name):
    """Read back with the standard library's XML parser: SVG 1.2 Tiny as Qt writes it, text as text, no pixels."""
    card = shown(screen, "beat")[name]
    card.save(tmp_path / "chart.svg")
    root = ET.parse(tmp_path / "chart.svg").getroot()
    assert root.tag.endswith("svg")
    said = " ".join(text.strip() for text in root.itertext())
    assert card.title.text() in said
    assert "Invented: a simulated learner" in said
    assert not [each for each in root.iter() if each.tag.endswith("}image")]
    assert re.match(r"0 0 \d+ \d+", root.attrib["viewBox"])


def test_a_chart_is_kept_as_png(screen, tmp_path):
    card = changed_spread(screen)
    card.save(tmp_path / "chart.png")
    image = QImage(str(tmp_path / "chart.png"))
    assert image.width() == 2 * (card.picture.width() + 4 * theme.STEP_PX)
    shades = {image.pixelColor(x, y).name() for x in range(0, image.width(), 3) for y in range(0, image.height(), 3)}
    assert {theme.LIGHT.sheet.lower(), theme.LIGHT.wash.lower()} <= shades
    assert card.picture.marked is not None


def test_a_chart_is_not_kept_under_another_ending(screen, tmp_path):
    with pytest.raises(Trouble, match=r"\.png or \.svg"):
        screen.content.cards["ladder"].save(tmp_path / "chart.gif")
    assert list(tmp_path.iterdir()) == []


def test_the_screen_follows_the_theme(screen):
    chart = changed_spread(screen).picture
    dress(theme.DARK)
    try:
        image = chart.parentWidget().grab().toImage()
        shades = {image.pixelColor(x, image.height() // 2).name() for x in range(0, image.width(), 3)}
        assert {theme.DARK.sheet.lower(), theme.DARK.wash.lower()} <= shades
    finally:
        dress(theme.LIGHT)


def test_a_damaged_logbook_is_told_in_a_line(qtbot, tmp_path):
    path = tmp_path / "logbook.sqlite3"
    with Logbook.open(path) as logbook:
        screen = LogbookScreen(logbook)
        qtbot.addWidget(screen)
        screen.show()
    path.write_bytes(b"no logbook at all, but long enough to be looked at" * 4)
    screen.refresh()
    screen.wait()
    assert "this is not a logbook" in screen.line.text()


def test_every_control_has_a_name(screen):
    shown(screen, "beat")
    for control in screen.findChildren(QAbstractButton) + screen.findChildren(QComboBox):
        if control.isVisible():
            assert control.accessibleName(), control


def test_a_name_on_the_ladder_is_whole_where_there_is_room_and_else_told(screen):
    """From the width of a column of the logbook on no name is cut; where one is, the mouse brings it up."""
    ladder = screen.content.cards["ladder"].picture
    rows = range(ladder.count())
    ladder.resize(560, ladder.sizeHint().height())
    assert not any(map(ladder.cut, rows))
    ladder.resize(200, ladder.sizeHint().height())
    assert any(map(ladder.cut, rows))
