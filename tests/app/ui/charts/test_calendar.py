"""The calendar of practice: which months it shows, its days in words, and nothing about the other days."""

from datetime import date, timedelta

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

import app.ui.charts.calendar as calendar
from app.ui.charts.calendar import CalendarPicture, months
from app.ui.charts.content import Content, Question
from exercises.logbook.history import PracticeDay

NOW = date(2030, 3, 14)
DAYS = tuple(PracticeDay(NOW - timedelta(days=n), 8 + n % 2, 600.0 - n) for n in (60, 40, 3, 1, 0))


@pytest.fixture
def picture(qtbot, monkeypatch) -> CalendarPicture:
    monkeypatch.setattr(calendar, "today", lambda: NOW)
    made = CalendarPicture()
    qtbot.addWidget(made)
    made.resize(900, 260)
    assert made.show_page(Content(Question("me"), calendar=DAYS))
    return made


def test_it_shows_from_the_first_month_on_at_most_three(picture):
    assert months(DAYS, NOW, 3) == [date(2030, 1, 1), date(2030, 2, 1), date(2030, 3, 1)]
    assert months(DAYS, NOW, 2) == [date(2030, 2, 1), date(2030, 3, 1)]
    assert months(DAYS[-2:], NOW, 3) == [date(2030, 3, 1)]
    assert months((PracticeDay(NOW + timedelta(days=90), 1, 1.0),), NOW, 3) == [date(2030, 3, 1)]


def test_the_keys_go_from_day_to_day_of_practice_alone(picture):
    heard = []
    picture.said.connect(heard.append)
    for _ in DAYS:
        QTest.keyClick(picture, Qt.Key.Key_Right)
    assert len(heard) == len(DAYS)
    assert "14" in heard[-1]
    assert "10" in heard[-1]
    assert "8" in heard[-1]


def test_days_lie_apart_and_in_their_month(picture):
    cells = [picture._cell(date(2030, 3, 1) + timedelta(days=n)) for n in range(31)]
    assert len({(cell.x(), cell.y()) for cell in cells}) == 31
    assert all(cell.bottom() <= picture.sizeHint().height() for cell in cells)
    assert not picture.grab().isNull()


def test_without_practice_there_is_no_card(picture):
    assert not picture.show_page(Content(Question("me")))
    assert picture.count() == 0
