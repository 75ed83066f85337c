"""The tutor's page: one sheet of A4 whose words are those of the logbook."""

import itertools
import math
import re
import shutil
import subprocess
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QFontMetricsF, QImage, QPainter

from app.cli.commands import main
from app.ui.base.numbers_and_dates import day_words
from app.ui.base.paper import PAGE
from app.ui.base.words import unbroken
from app.ui.logbook.report import Report, findings, write_report
from exercises.drills import drills
from exercises.logbook.store import Logbook
from exercises.progress.summary import summary
from synth.base.errors import Trouble

pytestmark = pytest.mark.sampled(4)

NOW = datetime(2030, 5, 1, 12, tzinfo=UTC)
LEARNER = "Invented learner A"


@pytest.fixture(scope="module")
def book(invented_weeks) -> Path:
    """Six invented weeks, those of the logbook screen."""
    return invented_weeks(6, 1, NOW)


@pytest.fixture(scope="module")
def page(book, qapp, tmp_path_factory) -> Path:
    """The report of one learner."""
    out = tmp_path_factory.mktemp("report") / "page.pdf"
    assert main(["report", "--file", str(book), "--learner", LEARNER, str(out)]) == 0
    return out


def test_it_is_one_page_of_a4(page):
    """ISO 216: 210 by 297 mm, in PDF's points of 1/72 inch (ISO 32000-1, 7.7.3.3 and 14.11.2)."""
    data = page.read_bytes()
    assert data.startswith(b"%PDF-1.")
    assert len(re.findall(rb"/Type\s*/Page\b", data)) == 1
    box = re.search(rb"/MediaBox\s*\[\s*0\s+0\s+([\d.]+)\s+([\d.]+)\s*\]", data)
    width, height = (float(side) * 25.4 / 72 for side in box.groups())
    assert width == pytest.approx(210, abs=0.5)
    assert height == pytest.approx(297, abs=0.5)


def test_the_programs_fonts_are_in_it_and_nothing_is_a_picture(page):
    """Type and lines stay sharp at any size: fonts embedded (FontFile2 or 3), no images."""
    data = page.read_bytes()
    fonts = set(re.findall(rb"/FontName\s*/[A-Z]{6}\+([\w-]+)", data)) or set(
        re.findall(rb"/FontName\s*/([\w-]+)", data)
    )
    assert {font.split(b"-")[0] for font in fonts} == {b"Cabin", b"Vollkorn"}
    assert len(re.findall(rb"/FontFile[23]?\b", data)) == len(fonts)
    assert b"/Subtype /Image" not in data


def text_of(path: Path) -> str:
    """What poppler's pdftotext reads."""
    tool = shutil.which("pdftotext")
    if tool is None:
        pytest.skip("pdftotext is not installed")
    return subprocess.run([tool, "-layout", str(path), "-"], capture_output=True, text=True, check=True).stdout


def test_its_figures_are_those_of_the_logbook(page, book):
    """Read back by poppler's pdftotext, another program."""
    said = text_of(page)
    with Logbook.open(book) as logbook:
        found = summary(logbook, LEARNER)
        assert f"{logbook.count(LEARNER)} trials" in said
    for done, trend, _ in found.drills:
        (line,) = [
            row
            for row in said.splitlines()
            if (f"{trend.rung} of {trend.rungs}" if trend.known else "too few yet") in row
            and drills()[done.drill].title.text in row
        ]
        assert f" {done.trials} " in line
        right = trend.right
        few = f"{round(right.value * right.n)} of {right.n}"
        percent = math.floor(100 * right.value + 0.5)  # as Qt rounds a half
        assert (f"{percent} % of {right.n}" if right.n >= 5 else few) in line


class Listening(Report):
    """A report that remembers its texts."""

    def __init__(self, found):
        super().__init__(found)
        self.said: list[str] = []
        self.ends: list[float] = []

    def text(self, painter, box, text, *more):
        self.said.append(text)
        self.ends.append(box.top())
        super().text(painter, box, text, *more)

    def wrapped(self, painter, box, text, *more):
        self.said.append(text)
        bottom = super().wrapped(painter, box, text, *more)
        self.ends.append(bottom)
        return bottom


def listened(found) -> Listening:
    """The report of findings, drawn on an image."""
    image = QImage(round(PAGE.width()), round(PAGE.height()), QImage.Format.Format_RGB32)
    report = Listening(found)
    painter = QPainter(image)
    try:
        report.draw(painter)
    finally:
        painter.end()
    return report


def test_no_cell_runs_into_the_next_one(book, qapp):
    """As wide as each text is drawn, it ends before the next one of its line begins, in the longest words too."""
    with Logbook.open(book) as logbook:
        found = findings(logbook, LEARNER, date(2030, 5, 1))

    class Wordy(Listening):
        def _spread(self, trend):
            return "no clear change stands out as yet"

        def text(self, painter, box, text, font, *more):
            boxes.append((box.top(), box.left(), QFontMetricsF(font).horizontalAdvance(text)))
            super().text(painter, box, text, font, *more)

    boxes: list[tuple[float, float, float]] = []
    image = QImage(round(PAGE.width()), round(PAGE.height()), QImage.Format.Format_RGB32)
    painter = QPainter(image)
    report = Wordy(found)
    report.table(painter, QRectF(56, 100, PAGE.width() - 112, 0))
    painter.end()
    rows = [[each for each in boxes if each[0] == top] for top in {top for top, _, _ in boxes}]
    cells = [pair for row in rows for pair in itertools.pairwise(sorted(row, key=lambda each: each[1]))]
    assert len(cells) >= 6 * len(found.drills)
    assert all(left + width < after for (_, left, width), (_, after, _) in cells)


def test_it_says_what_to_work_on_and_that_it_is_invented(book, qapp):
    with Logbook.open(book) as logbook:
        found = findings(logbook, LEARNER, date(2030, 5, 1))
    report = listened(found)
    said = "\n".join(report.said)
    assert "INVENTED: a simulated learner, no person's practice" in said
    assert found.tasks
    for task in found.tasks:
        assert unbroken(str(task.say)) in said
    assert "1 May 2030" in said
    assert max(report.ends) <= PAGE.height() - 40


def test_real_practice_is_not_called_invented(logbook, qapp):
    from app.demo.simulated import simulate
    from exercises.drills import drill
    from exercises.trial.kept.record import record

    one = drill("one")
    trial = one.make(1, 1)
    answer = simulate("beginner", trial)
    row = record(trial, answer, one.mark(trial, answer), when=NOW)
    logbook.add_all(replace(row, uid=f"{n:032x}") for n in range(5))
    report = listened(findings(logbook, "me", date(2030, 5, 1)))
    assert not [text for text in report.said if "INVENTED" in text]
    assert "Practice report: me" in report.said


def test_it_fits_with_every_drill_and_a_long_name(book, qapp):
    """Nothing runs over the foot, whatever is in it."""
    with Logbook.open(book) as logbook:
        found = findings(logbook, LEARNER, date(2030, 5, 1))
    full = replace(
        found, drills=(found.drills * 3)[:15], learner="A name as long as a line " * 5, weeks=found.weeks * 60
    )
    assert max(listened(full).ends) <= PAGE.height() - 40


def test_one_of_a_thing_is_not_many(book, qapp):
    """English grammar, common practice: 1 trial, 2 trials."""
    with Logbook.open(book) as logbook:
        found = findings(logbook, LEARNER, date(2030, 5, 1))
    week = replace(found.weeks[0], spent_s=61.0)
    one = unbroken("1 trial, 1 minute of practice")
    assert any(one in text for text in listened(replace(found, trials=1, weeks=(week,))).said)
    two = replace(found, trials=2, weeks=(week, week))
    assert any(unbroken("2 trials, 2 minutes of practice") in text for text in listened(two).said)


def test_what_it_was_practised_with_stands_below_the_table(book, qapp):
    """A changed from loudspeakers, not calibrated, to calibrated headphones; C has the headphones from the first."""
    said = {}
    with Logbook.open(book) as logbook:
        for name in ("Invented learner A", "Invented learner C"):
            said[name] = " ".join(listened(findings(logbook, name, date(2030, 5, 1))).said)
        # The same sentence as in the window.
        verdict = [str(say) for _, trend, _ in summary(logbook, LEARNER).drills for say in trend.verdict]
    (sentence,) = {text for text in verdict if text.startswith("The device or its calibration changed")}
    assert sentence in said["Invented learner A"]
    assert "calibrated at the last practice: early and late are shown." in said["Invented learner A"]
    assert "device or its calibration changed" not in said["Invented learner C"]


def test_the_table_counts_all_that_the_head_counts_and_tells_no_rung_without_a_dot(logbook, qapp):
    """Nine trials of three drills, one of them busy alone, two of them of one or two answers."""
    from app.demo.simulated import simulate
    from exercises.drills import drill
    from exercises.trial.kept.record import record
    from exercises.trial.modes import Mode

    for id, mode, n in (("one", Mode.PLAIN, 6), ("drum", Mode.PLAIN, 2), ("beat", Mode.BUSY, 1)):
        one = drill(id)
        for seed in range(n):
            trial = one.make(1, seed)
            answer = simulate("perfect", trial)
            logbook.add(record(trial, answer, one.mark(trial, answer), when=NOW, mode=mode))
    found = findings(logbook, "me", date(2030, 5, 1))
    assert found.trials == sum(done.trials for done, _, _ in found.drills) == 9
    dots = {place.drill for place in found.places if place.rung is not None}
    said = listened(found).said
    for done, trend, _ in found.drills:
        rung = said[said.index(str(drill(done.drill).title()), said.index("Rung")) + 3]
        assert (rung == f"{trend.rung} of {trend.rungs}") == (done.drill in dots)
        assert (rung == "too few yet") == (done.drill not in dots)
    told = {line.split(":")[0].strip(): line for line in summary(logbook, "me").lines() if line.startswith("  ")}
    for done, trend, _ in found.drills:
        line = told[str(drill(done.drill).title())]
        assert (f"rung {trend.rung} of {trend.rungs} suits" in line) == (done.drill in dots)
    assert {row["drill"]: row["rung"] is None for row in summary(logbook, "me").to_json()["drills"]} == {
        done.drill: done.drill not in dots for done, _, _ in found.drills
    }


def test_a_share_of_few_answers_is_told_as_a_number_of_them(book, qapp):
    """ "2 of 3" and no percentage below five answers; from there on with the number that it is of."""
    from exercises.progress.trends import share

    with Logbook.open(book) as logbook:
        found = findings(logbook, LEARNER, date(2030, 5, 1))
    done, trend, wrong = found.drills[0]
    for right, n, text in ((2, 3, "2 of 3"), (4, 5, "80 % of 5 (38 to 96)")):  # Wilson 1927: 37.6 to 96.4 %
        row = (done, replace(trend, right=share(right, n)), wrong)
        assert text in [
            each.replace("\N{NO-BREAK SPACE}", " ") for each in listened(replace(found, drills=(row,))).said
        ]


def test_one_day_is_told_once(book, qapp):
    with Logbook.open(book) as logbook:
        found = findings(logbook, LEARNER, date(2030, 5, 1))
    done, trend, wrong = found.drills[0]
    once = replace(found, drills=((replace(done, first=done.last), trend, wrong),))
    assert any(text.startswith(f"{day_words(done.last)}: ") for text in listened(once).said)
    days = [text for text in listened(once).said if text.endswith(" of practice.") and "trials, " in text]
    assert days
    assert not any(" to " in text for text in days)


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        (["page.txt"], "must end with .pdf"),
        (["page.pdf"], "Whose report? Add one of: --learner 'Invented learner A', --learner 'Invented learner B'"),
        (["--learner", "Invented learner D", "page.pdf"], "Did you mean Invented learner"),
        (["--learner", LEARNER, "nowhere/page.pdf"], "there is no folder"),
    ],
)
def test_what_cannot_be_is_one_line_and_no_file(book, tmp_path, monkeypatch, capsys, words, complaint):
    monkeypatch.chdir(tmp_path)
    assert main(["report", "--file", str(book), *words]) == 2
    err = capsys.readouterr().err
    assert complaint in err
    assert err.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


def test_without_a_logbook_there_is_nothing_to_report(tmp_path, capsys):
    assert main(["report", "--file", str(tmp_path / "none.sqlite3"), str(tmp_path / "page.pdf")]) == 2
    assert "there is no such logbook" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_a_learner_without_practice_has_no_report(logbook, tmp_path, qapp):
    with pytest.raises(Trouble, match="not practised yet"):
        write_report(logbook, "me", tmp_path / "page.pdf")
    assert not (tmp_path / "page.pdf").exists()


def test_the_button_writes_the_same_page(qtbot, book, tmp_path):
    from app.ui.logbook.screen import LogbookScreen

    with Logbook.open(book) as logbook:
        screen = LogbookScreen(logbook, LEARNER)
        qtbot.addWidget(screen)
        screen.refresh()
        screen.wait()
        with qtbot.waitSignal(screen.reported):
            screen.write_report(tmp_path / "page.pdf").join()
    assert "is written" in screen.line.text()
    assert (tmp_path / "page.pdf").read_bytes().startswith(b"%PDF")


def test_on_the_first_day_early_and_late_are_too_few_yet_and_nothing_for_answers(logbook, qapp):
    """The page says that the computer is calibrated: a dash alone in every row would contradict it."""
    from app.demo.simulated import simulate
    from exercises.calibration.lag import Calibration, Method, Setup
    from exercises.drills import drill
    from exercises.trial.kept.record import record

    setup = Setup("Invented output", "Host", 20, 48_000, "key")
    calibration = Calibration(setup, Method.MICROPHONE, 20.0, 2.0, 10.0, 30, NOW.isoformat())
    for id in ("beat", "drum"):
        one = drill(id)
        trial = one.make(1, 1)
        answer = simulate("perfect", trial)
        logbook.add(record(trial, answer, one.mark(trial, answer), when=NOW, calibration=calibration.for_record()))
    said = listened(findings(logbook, "me", date(2030, 5, 1))).said
    for id, early in (("beat", "too few yet"), ("drum", "\N{EN DASH}")):
        at = said.index(str(drill(id).title()), said.index("Rung"))
        assert said[at + 6] == early
