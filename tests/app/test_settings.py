"""The settings' file, against TOML as the standard library reads it."""

import os
import tomllib
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QLocale

import assets
from app.settings import LANGUAGES, Keeper, Settings, load, save, settings_path, text_of
from app.ui.base.language import SOURCE
from synth.base.errors import Trouble

pytestmark = pytest.mark.sampled(3)

NOW = datetime(2030, 5, 1, 18, 0, 0, tzinfo=UTC)
# All that UTF-8 can write, named by the category it cannot: the default asks the codec of each of 1.1e6 characters.
CHARACTERS = st.characters(exclude_categories=["Cs"])


@pytest.fixture
def path(home):
    home.mkdir()
    return settings_path()


def test_without_a_file_all_is_as_at_first_and_nothing_is_said(home):
    found = load(settings_path(), NOW)
    assert found.settings == Settings()
    assert found.messages == ()
    assert not found.settings.first_run_done
    assert not home.exists()


def test_what_is_written_is_read_again(path):
    chosen = Settings(volume=12, theme="dark", text_percent=150, learner='Zoë "Z" \\ Ünal', tempo_bpm=96.5)
    for settings in (chosen, Settings()):
        save(settings, path)
        assert load(path, NOW).settings == settings
        assert text_of(load(path, NOW).settings) == text_of(settings)


@given(
    learner=st.text(CHARACTERS, min_size=1, max_size=60).filter(lambda name: name.isprintable() and name.strip()),
    volume=st.integers(0, 100),
    tempo=st.floats(0, 240),
    other=st.dictionaries(
        st.text(CHARACTERS, max_size=9), st.integers() | st.booleans() | st.text(CHARACTERS, max_size=9), max_size=3
    ),
)
def test_the_file_is_toml(learner, volume, tempo, other):
    """tomllib, which this project did not write, reads every file back to the same values."""
    names = {name: value for name, value in other.items() if name not in Settings.__slots__}
    read = tomllib.loads(text_of(Settings(learner=learner, volume=volume, tempo_bpm=tempo, others=names)))
    assert (read["learner"], read["volume"], read["tempo_bpm"]) == (learner, volume, tempo)
    assert {name: read[name] for name in names} == names


def test_every_line_says_above_it_what_it_may_be():
    lines = text_of(Settings()).splitlines()
    rows = [at for at, line in enumerate(lines) if " = " in line and not line.startswith("#")]
    assert len(rows) == len(Settings.__slots__) - 1
    assert all(lines[at - 1].startswith("# ") for at in rows)


@pytest.mark.parametrize(
    ("line", "name"),
    [
        ("volume = 101", "volume"),
        ("volume = true", "volume"),
        ("text_percent = 99", "text_percent"),
        ('theme = "blue"', "theme"),
        ("first_run_done = 1", "first_run_done"),
        ('learner = "  "', "learner"),
        ("tempo_bpm = nan", "tempo_bpm"),
        ("minutes_a_day = 7.5", "minutes_a_day"),
    ],
)
def test_a_value_that_cannot_be_used_is_said_and_the_others_stand(path, line, name):
    path.write_text(f'{line}\nway = "letters"\n', encoding="utf-8")
    found = load(path, NOW)
    assert getattr(found.settings, name) == getattr(Settings(), name)
    assert found.settings.way == "letters"
    (message,) = found.messages
    assert name in str(message)


@pytest.mark.parametrize("broken", [b"volume = = 3", b"\xff\xfe\x00", b"[" * 5000, b"volume = 1\nvolume = 2"])
def test_a_broken_file_is_set_aside_whole_and_said(path, broken):
    path.write_bytes(broken)
    found = load(path, NOW)
    assert found.settings == Settings()
    (message,) = found.messages
    aside = path.with_name("settings.toml.broken-20300501-180000")
    assert str(aside) in str(message)
    assert aside.read_bytes() == broken
    assert not path.exists()


def test_lines_of_another_version_are_kept(path):
    path.write_text('colour_of_pen = "green"\nvolume = 20\n', encoding="utf-8")
    keeper = Keeper(load(path, NOW).settings, path)
    keeper.change(volume=30)
    assert tomllib.loads(path.read_text())["colour_of_pen"] == "green"
    assert load(path, NOW).settings.volume == 30


def test_a_folder_in_the_files_place_is_said_and_left(path):
    path.mkdir()
    found = load(path, NOW)
    assert found.settings == Settings()
    assert len(found.messages) == 1
    with pytest.raises(Trouble, match="folder"):
        save(Settings(), path)


def test_what_cannot_be_written_is_told_and_the_choice_still_holds(tmp_path):
    blocked = tmp_path / "file"
    blocked.write_text("")
    keeper = Keeper(Settings(), blocked / "settings.toml")
    assert "folder is expected" in str(keeper.change(theme="dark"))
    assert keeper.now.theme == "dark"


def test_an_unchanged_choice_writes_nothing(path):
    keeper = Keeper(Settings(), path)
    assert keeper.change(theme="system") is None
    assert not path.exists()


def test_the_old_file_stands_when_writing_is_cut_short(path, monkeypatch):
    """A full disk: what was there is there still, and nothing is left beside it."""
    save(Settings(volume=11), path)

    def full(*args: object, **kwargs: object) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("pathlib.Path.write_text", full)
    with pytest.raises(Trouble, match="no space left"):
        save(Settings(volume=22), path)
    assert load(path, NOW).settings.volume == 11
    assert os.listdir(path.parent) == [path.name]  # noqa: PTH208


def test_no_sitting_begins_loud():
    assert Settings(volume=100).start_volume == 60
    assert Settings(volume=20).start_volume == 20


def test_who_skips_the_level_check_begins_low():
    assert Settings().start_volume <= 40


def test_every_language_that_there_is_can_be_chosen():
    """The tables of texts on one side; names as Qt has them from CLDR on the other."""
    tables = {path.stem.removeprefix("tallybar_") for path in assets.path("languages").glob("*.qm")}
    assert set(LANGUAGES) == {SOURCE, *tables}
    for code, name in LANGUAGES.items():
        assert Settings(language=code).language == code
        assert name.casefold() in QLocale(code).nativeLanguageName().casefold()


def test_a_wrong_call_names_the_line():
    with pytest.raises(ValueError, match="text_percent"):
        Settings(text_percent=300)


@pytest.mark.parametrize(
    "text", ['theme = "\\u202e\\u0085x"', 'volume = "\\u007f"', "rung = 2030-05-01", "a\x1b = 1", "\u2028"]
)
def test_what_is_told_of_a_bad_line_is_clean(tmp_path, text):
    """One line without control characters, whatever the file holds."""
    path = tmp_path / "settings.toml"
    path.write_text(text, encoding="utf-8")
    (told,) = load(path, datetime(2030, 5, 1, tzinfo=UTC)).messages
    assert str(told).isprintable()
