"""Languages: none of the window's texts is missing in Spanish, and the window really speaks it."""

import importlib.util
import os
import re
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path
from string import Formatter

import pytest
from PySide6.QtCore import QCoreApplication, QLocale, QTranslator
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLabel, QScrollArea, QWidget

import assets
from app.demo.simulated import simulate
from app.inputs.taps import Tap
from app.practice.attempt import Phase
from app.practice.next_trial import Wish
from app.session import Session
from app.ui.base import theme
from app.ui.base.language import locale_of, pick_language, speak
from app.ui.base.numbers_and_dates import moment_words
from app.ui.base.words import groove_words, spoken, unbroken
from app.ui.charts.base_chart import Chart
from app.ui.dress import dress
from app.ui.logbook.screen import LogbookScreen
from app.ui.window import Window
from exercises.drills import drills
from exercises.drills.faster import RIGHT as FASTER_RIGHT
from exercises.logbook.store import Logbook
from exercises.trial.trial import Kind
from synth.base.errors import Trouble
from synth.base.words import Template
from synth.device.faults import from_kept
from synth.device.portaudio import NONE_CALLED

ROOT = Path(__file__).parents[4]
NOWHERE = QLocale("C")
# What Spanish writes as English does: names of styles and units, keys, figures, and words the trade has taken over.
SAME = {
    "{n} BPM", "Esc", "Tempo", "{hits} de {targets}", "{n} %", "Backbeat", "H", "X", "E", "F2", "P", "S", "F",
    "Shuffle", "Hip-hop",
    "Disco", "Funk", "Electro", "Techno", "Dembow", "Deep house", "Afro house", "Drum and bass", "Two-step", "Crash",
    "Soul", "BPM", " BPM", "T", "K", "M", "Q", "0 ms", "Tallybar {version}, Python {python}, {system}.", "MIDI",
}  # fmt: skip
# Words that no Spanish sentence has. The trade's own may be quoted beside the Spanish one.
ENGLISH = re.compile(
    r"\b(the|and|of|you|your|with|is|are|was|were|bar|bars|beats|phrase|phrases|trial|trials|kick|snare|clap|hats?|"
    r"turn|turns|tap|taps|rung|rungs|drill|drills|sheet|early|late|not|for|from|on|in|to|it)\b",
    re.IGNORECASE,
)
QUOTED = re.compile(r"«[^»]*»")


def _load(path: Path):
    spec = importlib.util.spec_from_file_location("make_languages", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


make_languages = _load(assets.path("languages", "make_languages.py"))
SPANISH = list(make_languages.messages(make_languages.table("es")))


@pytest.fixture
def speaking(qapp):
    """Choose a language for the test; afterwards all is as before."""
    before = QLocale()
    yield lambda language: speak(qapp, language, NOWHERE)
    speak(qapp, "en", NOWHERE)
    QLocale.setDefault(before)


@pytest.fixture
def window(qtbot, practice, qapp, monkeypatch):
    """Makes the window in the language of the moment, on a computer without sound devices."""
    monkeypatch.setattr("app.ui.screens.sound_card.outputs", tuple)
    monkeypatch.setattr("app.ui.screens.sound_card.microphones", tuple)

    def make() -> Window:
        theme.set_text_scale(1.0)
        dress(theme.LIGHT)
        made = Window(Session(practice))
        qtbot.addWidget(made)
        made.resize(made.sizeHint())  # a little less than 1280 by 800
        made.show()
        return made

    return make


# -- the table -------------------------------------------------------------------------------------------------------


def test_every_text_of_the_window_and_every_sentence_is_translated(tmp_path):
    """Collected anew from the sources, so that a text that came in since the table was made is found missing."""
    anew = tmp_path / "tallybar_es.ts"
    anew.write_bytes(make_languages.table("es").read_bytes())
    make_languages.collect(anew, "es")
    assert [
        f"{about}: {source}" for about, source, text, done in make_languages.messages(anew) if not (done and text)
    ] == []


def test_the_compiled_table_says_what_the_table_says():
    """The program reads the compiled one."""
    compiled = QTranslator()
    assert compiled.load("tallybar_es", str(assets.path("languages")))
    assert [source for about, source, text, _ in SPANISH if compiled.translate(about, source) != text] == []


def test_the_digest_is_that_of_the_compiled_table():
    """As ``make_languages.py`` writes it."""
    assert assets.path("languages", "sha256.txt").read_text(encoding="ascii") == make_languages.digests()


@pytest.mark.parametrize("cut", [slice(0, 0), slice(0, -1), slice(1, None)])
def test_a_damaged_table_never_reaches_qt(qapp, tmp_path, monkeypatch, cut):
    """The window speaks English then."""
    name = "tallybar_es.qm"
    (tmp_path / name).write_bytes(assets.path("languages", name).read_bytes()[cut])
    (tmp_path / "sha256.txt").write_bytes(assets.path("languages", "sha256.txt").read_bytes())
    monkeypatch.setattr("assets.path", lambda *parts: tmp_path.joinpath(*parts[1:]))
    loaded = []
    monkeypatch.setattr(QTranslator, "load", lambda table, name, folder: loaded.append(name) or False)
    assert speak(qapp, "es") == "es"
    assert loaded == ["qtbase_es"]
    speak(qapp, "en")


def test_translations_have_the_fields_of_their_source():
    """A field that is missing, or one too many, would break the sentence when it is said."""

    def fields(text: str) -> list[tuple[str, str]]:
        return sorted((name, spec or "") for _, name, spec, _ in Formatter().parse(text) if name is not None)

    assert [source for _, source, text, _ in SPANISH if set(fields(source)) != set(fields(text))] == []


def test_no_english_is_left():
    """Nothing stands in Spanish as it does in English but what is listed, and no English word in a sentence."""
    same = {
        source
        for _, source, text, _ in SPANISH
        if source == text and re.search("[A-Za-z]", re.sub(r"{.*?}|\b(ms|BPM|Hz)\b", "", text))
    }
    assert same - SAME == set()
    plain = ((source, re.sub(r"{.*?}", "", QUOTED.sub("", text))) for _, source, text, _ in SPANISH)
    assert [text for source, text in plain if source not in SAME and ENGLISH.search(text)] == []


def test_spaces_ends_and_signs_are_kept():
    """What is put together with other words keeps its space; a sentence stays one, a piece of a sentence a piece."""

    def shape(text: str) -> tuple[bool, bool, str]:
        return text[:1] == " ", text[-1:] == " ", text.rstrip()[-1:] if text.rstrip()[-1:] in ".:…" else ""

    assert [source for _, source, text, _ in SPANISH if shape(source) != shape(text)] == []


def test_no_article_meets_a_preposition_that_would_swallow_it():
    """ "de" and "a" run together with "el" ("del uno", "al tres"), which a field in between cannot do."""
    swallowed = re.compile(
        r"\b(de|a) {(beat|first|second|next|given|expected|drum|it|said|feel|drill)}", re.IGNORECASE
    )
    assert [text for _, _, text, _ in SPANISH if swallowed.search(text)] == []


# -- which language --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("setting", "system", "language"),
    [
        ("en", "es_MX", "en"),
        ("es", "en_GB", "es"),
        ("system", "es_MX", "es"),
        ("system", "en_US", "en"),
        ("system", "de_DE", "en"),
        ("system", "C", "en"),
    ],
)
def test_the_setting_or_the_desktop_says_which_language(setting, system, language):
    """Spanish of any country is Spanish; a desktop in a language that there is not gets English."""
    assert pick_language(setting, QLocale(system)) == language


def test_an_unknown_language_is_a_wrong_call():
    """The settings never let one through."""
    with pytest.raises(ValueError, match=r"'fr'.*system"):
        pick_language("fr")


def test_numbers_and_days_follow_the_country_where_it_speaks_the_language():
    """Mexico writes a decimal point, Spain a comma (Unicode CLDR, numbers of es-MX and es)."""
    assert locale_of("es", QLocale("es_MX")).decimalPoint() == "."
    assert locale_of("es", NOWHERE).decimalPoint() == ","
    assert locale_of("es", QLocale("de_DE")).language() == QLocale.Language.Spanish
    assert locale_of("en", QLocale("es_ES")).language() == QLocale.Language.English


# -- the window ------------------------------------------------------------------------------------------------------


def _texts(root: QWidget) -> dict[str, QWidget]:
    """Every text that a widget shows or says to a screen reader, with the widget."""
    found: dict[str, QWidget] = {}
    for part in (root, *root.findChildren(QWidget)):
        told = [part.accessibleName(), part.accessibleDescription(), part.toolTip()]
        if isinstance(part, QLabel | QAbstractButton):
            told.append(part.text())
        if isinstance(part, QComboBox):
            told += [part.itemText(at) for at in range(part.count())]
        found |= dict.fromkeys(filter(None, told), part)
    return found


def _tabs(window: Window) -> list[str]:
    return [tab.text() for tab in window.contents.tabs.buttons()]


def _places(window: Window) -> list[int]:
    return [window.contents.tabs.id(tab) for tab in window.contents.tabs.buttons()]


def _open_all(window: Window) -> None:
    for place in _places(window):
        window.contents.show_tab(place)
    window.contents.show_welcome()


def test_another_language_changes_the_window(window, speaking):
    """Names of the screens, sentences of the exercises, titles of grooves, and the locale of every screen."""
    speaking("es")
    spanish = window()
    assert _tabs(spanish)[:3] == ["Practicar", "Contar", "Cuaderno"]
    assert spanish.contents.practise.heading.text() in {text for about, _, text, _ in SPANISH if about == "say"}
    assert spanish.locale().decimalPoint() == ","
    assert groove_words("waltz") == "Vals"
    speaking("en")
    assert _tabs(window())[:3] == ["Practise", "Count along", "Logbook"]


class Marking(QTranslator):
    """Puts a mark, its context and a mark before every text that goes through translation."""

    def translate(self, context, source, disambiguation=None, n=-1):
        return f"¤{context}¤{source}"


def test_every_text_of_every_screen_goes_through_translation(window, qapp, speaking):
    """A text without the mark was never offered for translation."""
    speaking("en")
    marking = Marking(qapp)
    qapp.installTranslator(marking)
    made = window()
    _open_all(made)
    # Ways of counting, levels in dB, language names, what the learner has typed.
    same = re.compile(r"Tallybar|English|Español|[\d ,.:±%A-C+−←→]*|F11|D|G|P|H|V|me|\d+ dB")
    assert [text for text in _texts(made) if "¤" not in text and not same.fullmatch(text)] == []


def test_a_button_is_no_longer_in_spanish_than_in_english(window, qapp, speaking):
    """Or has ten letters at most: beside a key's name there is room for no more in large text."""
    speaking("en")
    marking = Marking(qapp)
    qapp.installTranslator(marking)
    made = window()
    _open_all(made)
    spanish = {(about, source): text for about, source, text, _ in SPANISH}
    buttons = {tuple(part.text().split("¤")[1:]) for part in made.findChildren(QAbstractButton) if "¤" in part.text()}
    qapp.removeTranslator(marking)
    assert len(buttons) > 30
    longer = {
        (key[1], spanish[key]) for key in buttons if key in spanish and len(spanish[key]) > max(10, len(key[1]))
    }
    assert longer == set()


def _cut(window: Window) -> list[str]:
    """Texts that their widget is too small for, once the layouts have settled."""
    for _ in range(3):
        QCoreApplication.processEvents()
    cut = []
    for part in window.findChildren(QWidget):
        if not part.isVisible():
            continue
        if isinstance(part, QScrollArea) and part.widget() is not None:
            beyond = part.widget().width() - part.viewport().width()
            if beyond > 0:
                cut.append(f"{part.widget().objectName()}: {beyond} px beyond the edge")
        if isinstance(part, QAbstractButton) and part.text() and part.width() < part.sizeHint().width():
            cut.append(part.text())
        if isinstance(part, QLabel) and part.text():
            if part.wordWrap():
                short = part.height() < part.heightForWidth(part.width())
            else:
                short = part.width() < part.fontMetrics().horizontalAdvance(part.text())
            if short:
                cut.append(part.text())
    return cut


@pytest.mark.proof
@pytest.mark.parametrize("language", ["en", "es"])
def test_no_text_is_cut_in_a_small_window(window, speaking, language):
    """Spanish is a fifth longer than English; every label and button still has its room."""
    speaking(language)
    made = window()
    for place in _places(made):
        made.contents.show_tab(place)
        assert (place, _cut(made)) == (place, [])
        assert made.size() == made.sizeHint()
    made.contents.show_welcome()
    for page in range(4):
        made.contents.first_run.welcome.show_page(page)
        assert (page, _cut(made)) == (page, [])


def _english(window: QWidget) -> list[str]:
    """Texts in sight that have an English word in them."""
    shown = (text for text, part in _texts(window).items() if part.isVisible())
    return [text for text in shown if text not in SAME and ENGLISH.search(QUOTED.sub("", text))]


@pytest.mark.proof
def test_a_trial_of_every_drill_is_in_spanish_and_fits(window, speaking, practice, player):
    """From the question to what is said of somebody who only guesses, in a small window."""
    speaking("es")
    made = window()
    wrong = {}

    def look(drill: str) -> None:
        if found := _english(made) + _cut(made):
            wrong[drill, practice.phase] = found

    for drill in drills():
        practice.choose(Wish(drill, 2))
        practice.put_away()
        made.contents.practise.redraw()
        look(drill)
        made.contents.practise.go_on()
        assert practice.phase is Phase.SOUNDING
        look(drill)
        answer = simulate("random", practice.trial, 3)
        for tap_s in answer.taps_s:
            practice.attempt.tap(Tap(player.start_s + float(tap_s), "key", True))
        player.now_s = player.start_s + practice.attempt.trial_end_s() + 0.001
        made.contents.practise.tick()
        if practice.phase is Phase.ASKING:
            look(drill)
            made.contents.practise.answer(
                f"{answer.value:.0f}" if isinstance(answer.value, float) else str(answer.value)
            )
        assert practice.phase is (Phase.READY if practice.drill.kind is Kind.NONE else Phase.MARKED)
        look(drill)
    assert wrong == {}


@pytest.mark.proof
def test_the_logbook_with_its_charts_is_in_spanish(qtbot, qapp, speaking, invented_weeks):
    """Every value that a chart's marker can tell, too: a chart is no widget of ours, and tells it by a signal."""
    speaking("es")
    path = invented_weeks(3, 1, datetime(2030, 5, 1, 12, tzinfo=UTC))
    theme.set_text_scale(1.0)
    dress(theme.LIGHT)
    with Logbook.open(path) as logbook:
        screen = LogbookScreen(logbook)
        qtbot.addWidget(screen)
        screen.resize(1280, 740)
        screen.show()
        found, charts = {}, set()
        for drill in (None, "turn", "one", "stopped-bar"):
            screen.open_drill(drill)
            screen.wait()
            for name, card in screen.content.cards.items():
                picture = card.picture
                if card.isHidden() or not isinstance(picture, Chart):
                    continue
                charts.add(name)
                for at in range(len(picture.xs)):
                    picture.mark(at)
                    found |= dict.fromkeys(_english(screen), (drill, name))
        assert found == {}
        assert {"minutes", "spread", "share", "bias", "rung", "beat", "lost"} <= charts


def test_titles_of_drills_are_no_wider_than_in_english(qapp, speaking):
    """Pictures that have a fixed width for them, such as the ladder, would cut them short."""

    def widest_px() -> float:
        metrics = QFontMetricsF(theme.font(theme.TYPE.body))
        return max(metrics.horizontalAdvance(spoken(drill.title())) for drill in drills().values())

    speaking("en")
    english_px = widest_px()
    speaking("es")
    assert widest_px() <= english_px


# -- sentences and lines ---------------------------------------------------------------------------------------------


def test_fractions_get_the_decimal_point_of_the_language(speaking):
    """124.5 BPM is 124,5 BPM in Spanish; a place in the count, bar and beat, stays as it is."""
    speaking("es")
    said = spoken(FASTER_RIGHT(faster="X", percent=3, fast="124.5", slow="120.0"))
    assert "124,5\N{NO-BREAK SPACE}BPM" in said
    assert "120,0." in said
    assert "3.2" in spoken(Template("test.given", "{given}")(given="3.2"))


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("missed: 17 % of its beats", "missed: 17~% of its beats"),
        ("Acertaste el uno: 12 de 12.", "Acertaste el uno: 12~de~12."),
        ("−12 ± 8 ms, 396 minutos, a 124,5 BPM", "−12~±~8~ms, 396~minutos, a 124,5~BPM"),
        ("95 %: de 9 a 91 %", "95~%: de 9~a~91~%"),
        ("in bar 3 on the two", "in bar 3 on the two"),
    ],
)
def test_a_number_is_not_torn_from_its_unit(text, kept):
    """SI brochure (9th edition, 5.4.3): number and unit belong together, with a space between them, % included."""
    assert unbroken(text) == kept.replace("~", "\N{NO-BREAK SPACE}")


@pytest.mark.parametrize(
    ("language", "system", "written"),
    [
        ("en", "C", "25 Nov 2026, 13:53"),
        ("en", "en_GB", "25 Nov 2026, 13:53"),
        ("en", "en_US", "Nov 25, 2026, 1:53 PM"),
        ("es", "C", "25 nov 2026, 13:53"),
    ],
)
def test_day_and_clock_follow_one_rule(qapp, language, system, written):
    """Unicode CLDR: the United States put the month first and count twelve hours; Britain and Spain neither."""
    before = QLocale()
    try:
        speak(qapp, language, QLocale(system))
        assert moment_words(datetime(2026, 11, 25, 13, 53)).replace("\N{NARROW NO-BREAK SPACE}", " ") == written
    finally:
        speak(qapp, "en", NOWHERE)
        QLocale.setDefault(before)


def test_trouble_is_told_in_the_window_s_language(speaking):
    """Commands print the same line in English; what is no sentence of the program stays as it is."""
    speaking("es")
    trouble = Trouble(NONE_CALLED(name="'desk 2'"))
    assert str(trouble) == "No sound output called 'desk 2' was found. Connect it, or choose another."
    assert spoken(trouble.says) == (
        "No se encontró ninguna salida de sonido llamada 'desk 2'. Conéctala o elige otra."
    )
    assert spoken(Trouble("x.groove:7:12: no such {voice}").says) == "x.groove:7:12: no such {voice}"


@pytest.mark.parametrize(
    ("kept", "shown"),
    [
        ("underflow; silence", "el sonido se quedó sin datos; el sonido se paró"),
        ("stall 312", "el sonido no recibió datos durante 312~ms, más de lo que dura su reserva"),
        # As version 0.1.0 kept them.
        ("the sound ran dry; the sound stopped", "el sonido se quedó sin datos; el sonido se paró"),
        (
            "the computer slept, or its clock was set (-3.5 s)",
            "el ordenador se durmió o se cambió su reloj (−3,5 s)",
        ),
        ("the sound stopped; {what:>9}", "el sonido se paró; {what:>9}"),
        ("stall", "stall"),
    ],
)
def test_the_reason_of_a_void_trial_is_translated_when_it_is_shown(speaking, kept, shown):
    speaking("es")
    assert spoken(from_kept(kept)) == shown.replace("~", "\N{NO-BREAK SPACE}")


# -- the program -----------------------------------------------------------------------------------------------------

START = """
import app.ui.window
class Window(app.ui.window.Window):
    def show(self):
        tabs, practise = self.contents.tabs, self.contents.practise
        print(tabs.buttons()[0].text(), practise.heading.text(), self.locale().decimalPoint(), flush=True)
        raise SystemExit(0)
app.ui.window.Window = Window
from app.cli.commands import main
main([])
"""


def test_the_window_starts_in_the_language_of_the_settings(tmp_path):
    """From the settings file to the first window, as the program is started."""
    (tmp_path / "settings.toml").write_text('language = "es"\nfirst_run_done = true\n', encoding="utf-8")
    surroundings = os.environ | {"TALLYBAR_HOME": str(tmp_path), "QT_QPA_PLATFORM": "offscreen", "LC_ALL": "C.UTF-8"}
    run = subprocess.run(
        [sys.executable, "-c", START], cwd=ROOT, env=surroundings, capture_output=True, timeout=60, check=True
    )
    assert run.stdout.decode("utf-8").splitlines()[-1] == "Practicar La práctica de hoy ,"
