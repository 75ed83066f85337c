"""Languages: none of the window's texts is missing in Spanish, and sentences are written as the language has it."""

import ast
import re
from datetime import datetime
from pathlib import Path
from string import Formatter

import pytest
from PySide6.QtCore import QLocale, QTranslator

import app
import assets
from app.ui.base.language import locale_of, pick_language, speak
from app.ui.base.numbers_and_dates import moment_words
from app.ui.base.words import after_title, spoken, unbroken
from exercises.drills.faster import RIGHT as FASTER_RIGHT
from synth.base.errors import Trouble
from synth.base.words import Template
from synth.device.faults import from_kept
from synth.device.portaudio import NONE_CALLED
from tests.app.ui.base.spanish import ENGLISH, QUOTED, SAME, SPANISH, make_languages

NOWHERE = QLocale("C")


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
        ("stall 312", "el ordenador estaba demasiado ocupado para el sonido (312~ms)"),
        # As version 0.1.0 kept them.
        ("the sound ran dry; the sound stopped", "el sonido se quedó sin datos; el sonido se paró"),
        (
            "the sound was not served for 312 ms, longer than its buffer",
            "el ordenador estaba demasiado ocupado para el sonido (312~ms)",
        ),
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


def test_no_stop_or_colon_follows_a_title_that_asks():
    assert (
        after_title("Which is faster?: Of what you practise. In line?.")
        == "Which is faster? Of what you practise. In line?"
    )
    assert after_title("The one: Of what you practise.") == "The one: Of what you practise."


def test_every_text_is_found_by_the_translators_tool():
    """It does not look into the braces of an f-string (seen with lupdate 6.12), so no text stands there."""
    for path in Path(app.__file__).parent.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            calls = ast.walk(node) if isinstance(node, ast.JoinedStr) else ()
            names = [
                call.func.attr
                for call in calls
                if isinstance(call, ast.Call) and isinstance(call.func, ast.Attribute)
            ]
            assert (path, "tr" in names) == (path, False)
