"""Help: every page has words, a picture and a sound whose truth fits the words."""

import re
import statistics
import subprocess
from pathlib import Path

import numpy as np
import PySide6
import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel

from app.ui.base import theme
from app.ui.dress import dress
from app.ui.help import sounds
from app.ui.help.chapters import CHAPTERS, PAGES
from app.ui.help.help_page import translated
from app.ui.help.sounds import EXAMPLES, LEAD_IN_S, example
from app.ui.widgets.sheet.ruled import Box, Dot
from app.ui.widgets.sheet.timing_strip import TimingStrip
from synth.score.hits import INDEX
from synth.sound.mixdown import mixdown_together

pytestmark = pytest.mark.sampled(3)

PICTURED = ("drums", "floor", "feel")


def struck(record, voice: str) -> np.ndarray:
    """The beats, counted from the record's first, on which a drum is struck."""
    arrangement = record.arrangement
    onset_s = arrangement.hits.grid_s[arrangement.hits.voice == INDEX[voice]]
    return np.round((onset_s - arrangement.count.beats_s[0]) * arrangement.tempo_bpm / 60, 3)


def boxes(page: str, line: int) -> list[Box]:
    return [thing for thing in PAGES[page].ruling.lines[line].things if isinstance(thing, Box)]


# -- words and pictures --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("page", PAGES.values(), ids=PAGES)
def test_every_page_has_words_a_picture_and_a_sound_or_the_reason_why_not(page):
    sentences = re.findall(r"[^.!?]+[.!?](?:\s|$)", f"{page.lead} {page.body}")
    assert 2 <= len(sentences) <= 5
    assert max(len(sentence.split()) for sentence in sentences) <= 40
    heard = example(page.id)
    assert page.ruling or page.strips or (page.ways and heard)
    assert len(page.ways) == (0 if heard is None else len(heard.counts))
    assert heard is not None or page.note


def test_every_example_belongs_to_a_page():
    assert set(EXAMPLES) <= set(PAGES)
    assert len(PAGES) == sum(len(pages) for _, pages in CHAPTERS)


def test_the_pages_about_figures_show_the_strip():
    for page in ("early", "habit", "bias", "spread", "uncertainty", "calibration"):
        assert PAGES[page].strips


def test_all_texts_are_found_for_translation(tmp_path, checkout):
    """Qt's own collector finds every text of the pages, letter by letter."""
    found = tmp_path / "help.ts"
    tool = Path(PySide6.__file__).parent / "lupdate"  # the script in the environment names where that was built
    sources = (checkout / "app" / "ui" / "help").glob("*.py")
    subprocess.run([tool, *sources, "-ts", found], check=True, capture_output=True)
    import xml.etree.ElementTree as tree

    sources = {each.text for each in tree.parse(found).iter("source")}
    for name, pages in CHAPTERS:
        texts = {name}
        for page in pages:
            texts |= {
                page.title,
                page.lead,
                page.body,
                page.caption,
                page.note,
                *(strip.name for strip in page.strips),
            }
            for line in page.ruling.lines if page.ruling else ():
                texts |= {line.name} | {thing.words for thing in line.things if isinstance(thing, Box)}
        assert {text for text in texts if text and not re.fullmatch(r"\d+ dBA", text)} <= sources


def test_nothing_is_cut_off_at_1280_by_800(screen, qapp):
    """No page needs to scroll, no label is narrower or lower than its words."""
    for page in PAGES:
        screen.open(page)
        qapp.processEvents()
        assert screen.view.verticalScrollBar().maximum() == 0, page
        for words in screen.view.findChildren(QLabel):
            assert words.height() >= words.heightForWidth(words.width()), (page, words.text())
            if not words.wordWrap():
                assert words.width() >= words.sizeHint().width(), (page, words.text())


def test_the_page_that_is_shown_follows_the_text_size(screen):
    """Its sheets become higher and stand below each other with large text, and are as before without."""
    screen.open("aloud")
    before = screen.body
    found = []
    try:
        for scale in (1.0, 2.0, 1.0):
            theme.set_text_scale(scale)
            dress(theme.LIGHT)
            screen.body.layout().activate()
            first, second = screen.body.sheets
            found.append((first.minimumHeight(), first.y() < second.y()))
    finally:
        theme.set_text_scale(1.0)
        dress(theme.LIGHT)
    assert screen.body is before
    small, large, again = found
    assert small == again == (small[0], False)
    assert large[1]
    assert large[0] > small[0]


def test_the_listening_times_follow_the_three_decibel_rule():
    """WHO-ITU H.870 (2018, from secondary sources): 80 dBA for 40 hours a week, T = 40 h / 2^((L - 80) / 3)."""
    for line in PAGES["ears"].ruling.lines:
        level_db = float(line.name.split()[0])
        assert line.things[0].end == pytest.approx(40 / 2 ** ((level_db - 80) / 3))


def test_every_word_of_the_trade_is_told():
    """The words a learner meets in the drills (common practice), each on some page; figures have their own."""
    words = (
        "beat", "bar", "the one", "downbeat", "phrase", "intro", "outro", "break", "drop", "fill", "turn",
        "turnaround", "half time", "double time", "four on the floor", "backbeat", "kick", "snare", "clap", "hats",
        "crash", "tempo", "BPM", "blend", "landing", "stroke", "ring", "cross", "grey", "bias", "spread",
    )  # fmt: skip
    told_of = " ".join(f"{page.title} {page.lead} {page.body}" for page in PAGES.values()).lower()
    assert [word for word in words if not re.search(rf"\b{word.lower()}\b", told_of)] == []


# -- the truth of the sounds ---------------------------------------------------------------------------------------


@pytest.mark.sweep
@pytest.mark.parametrize("page", EXAMPLES)
def test_an_example_sounds_to_the_end_of_its_sheet(page, monkeypatch):
    monkeypatch.setattr(sounds, "mixdown_together", mixdown_together)
    heard = example(page)
    samples = heard.samples(8_000)
    assert samples.shape[1] == 2
    assert len(samples) / 8_000 >= heard.end_s
    assert 0.1 < np.abs(samples).max() <= 1.0
    assert 4 <= heard.end_s <= 30
    assert heard.counts[0].beats_s[0] == pytest.approx(LEAD_IN_S)


@pytest.mark.parametrize("page", PICTURED)
def test_the_drums_drawn_are_the_drums_heard(page):
    """Dots are kicks, rings snares or claps, or hats on their own line. In half and double time, bars 3-4 and 5-6."""
    ruling, record = PAGES[page].ruling, example(page).records[0]
    sharp = "clap" if page == "floor" else "snare"
    start = dots = 0
    for line in ruling.lines[1:]:
        for ring, voice in ((False, "closed_hat"),) if line.name == "Hats" else ((False, "kick"), (True, sharp)):
            drawn = [thing.at - 0.5 for thing in line.things if isinstance(thing, Dot) and thing.ring is ring]
            dots += len(drawn)
            if drawn:
                beats = struck(record, voice) - start
                assert beats[(beats >= 0) & (beats < 8)].tolist() == drawn
        start += 8 if page == "feel" else 0
    assert dots


def test_beat_a_deep_drum_on_every_beat():
    heard = example("beat")
    assert struck(heard.records[0], "kick").tolist() == list(range(len(heard.counts[0])))


def test_bar_four_beats_counted_by_a_voice():
    heard = example("bar")
    assert heard.records[0].spoken == "bars"
    assert heard.counts[0].beat_in_bar.tolist() == [1, 2, 3, 4] * 4


def test_one_the_crash_marks_the_fifth_bar():
    assert struck(example("one").records[0], "crash").tolist() == [16]


def test_aloud_four_bars_in_figures_then_four_with_letters():
    heard = example("aloud")
    assert [record.spoken for record in heard.records] == ["bars", "letters"] == list(PAGES["aloud"].ways)
    assert heard.counts[0].end_s == pytest.approx(heard.counts[1].beats_s[0])
    for record, count in zip(heard.records, heard.counts, strict=True):
        np.testing.assert_allclose(record.arrangement.count.beats_s + record.start_s, count.beats_s)
        assert count.bar_in_phrase.max() == 4


def test_phrase_two_phrases_of_four_bars_with_a_turn_between():
    heard = example("phrase")
    record = heard.records[0]
    assert record.spoken == "bars"
    assert heard.counts[0].bar_in_phrase[::4].tolist() == [1, 2, 3, 4, 1, 2, 3, 4]
    (turn,) = record.arrangement.turns
    assert turn.time_s == pytest.approx(heard.counts[0].phrase_starts_s[1])


def test_turn_the_fill_stands_where_it_is_drawn_and_the_crash_on_the_one():
    record = example("turn").records[0]
    pattern, fill, _ = boxes("turn", 1)
    first_bar_drawn = 2  # bars 3 and 4, then 1 and 2
    toms = np.concatenate([struck(record, voice) for voice in ("high_tom", "mid_tom", "low_tom")])
    toms = toms[toms < 17]
    assert fill.start == pattern.end
    assert toms.min() == fill.start + 4 * first_bar_drawn
    assert toms.max() < fill.end + 4 * first_bar_drawn
    assert struck(record, "crash").tolist() == [16]
    assert {"fill", "crash"} <= set(record.arrangement.turns[0].signals)


def test_sheet_shows_every_kind_of_mark_and_both_ways_to_write_eight_bars():
    """As its words say: two taps that do not count yet, one target missed, one tap that met none."""
    heard = example("sheet")
    assert [count.bar_in_phrase[::4].tolist() for count in heard.counts] == [[1, 2, 3, 4] * 2, list(range(1, 9))]
    np.testing.assert_allclose(heard.counts[0].beats_s, heard.counts[1].beats_s)
    early = heard.taps_s < heard.counted_from_s
    met = np.isin(np.arange(len(heard.taps_s)), heard.pairs[:, 1])
    assert (early.sum(), (met & early).sum(), (~met & ~early).sum()) == (2, 0, 1)
    assert len(heard.targets_s) - len(heard.pairs) == 1


def test_a_page_on_what_is_measured_leads_to_the_bench(screen, qtbot):
    asked = []
    screen.sound_asked.connect(lambda: asked.append(screen.page.id))
    for page in ("uncertainty", "calibration"):
        screen.open(page)
        assert screen.hear_button.isVisible()
        qtbot.mouseClick(screen.hear_button, Qt.MouseButton.LeftButton)
    assert asked == ["uncertainty", "calibration"]
    screen.open("beat")
    assert screen.hear_button.text() == "Hear it"


def test_intro_eight_bars_of_drums_then_the_song():
    record = example("intro").records[0]
    (intro, _), (song,) = boxes("intro", 0), boxes("intro", 1)
    assert record.arrangement.intro_bars == intro.end == song.start == 8
    assert struck(record, "bass").min() >= 32


def test_break_no_kick_for_four_bars_then_kick_and_bass_on_the_one():
    record = example("break").records[0]
    pause = boxes("break", 1)[0]
    kicks, bass = struck(record, "kick"), struck(record, "bass")
    for beats in (kicks, bass, struck(record, "snare"), struck(record, "clap")):
        assert not ((beats >= 4 * pause.start) & (beats < 4 * pause.end - 0.01)).any()
    assert 4 * pause.end in kicks
    assert ((bass >= 4 * pause.end) & (bass < 4 * pause.end + 4)).any()


def test_line_first_a_beat_late_then_in_line():
    heard = example("line")
    first, late, right = (record.arrangement.count.shifted(record.start_s) for record in heard.records)
    beat_s = 60 / heard.records[0].arrangement.tempo_bpm
    np.testing.assert_allclose(late.ones_s, first.ones_s[:4] + beat_s)
    np.testing.assert_allclose(right.ones_s, first.ones_s[4:])


@pytest.mark.parametrize("page", ["blend", "land"])
def test_the_second_record_enters_where_it_is_drawn(page):
    heard = example(page)
    for record, line in zip(heard.records, PAGES[page].ruling.lines, strict=True):
        bar_s = 240 / record.arrangement.tempo_bpm
        sections = [
            ((each.start_s + record.start_s - LEAD_IN_S) / bar_s, each.bars) for each in record.arrangement.sections
        ]
        drawn = [(box.start, box.end - box.start) for box in line.things if not box.waiting]
        np.testing.assert_allclose(sections, drawn)


def test_land_the_intro_ends_where_the_first_record_turns():
    first, second = example("land").records
    bar_s = 240 / second.arrangement.tempo_bpm
    outro_s = next(each.start_s for each in first.arrangement.sections if each.name == "outro")
    assert second.start_s + second.arrangement.intro_bars * bar_s == pytest.approx(outro_s)


def test_blend_intro_and_outro_sound_together():
    first, second = example("blend").records
    outro_s = next(each.start_s for each in first.arrangement.sections if each.name == "outro")
    assert second.start_s == pytest.approx(outro_s)


def test_met_three_met_one_missed_and_one_tap_on_a_three():
    heard = example("met")
    assert (len(heard.targets_s), len(heard.taps_s), len(heard.pairs)) == (4, 4, 3)
    (extra,) = set(range(4)) - set(heard.pairs[:, 1].tolist())
    nearest = int(np.abs(heard.counts[0].beats_s - heard.taps_s[extra]).argmin())
    assert heard.counts[0].beat_in_bar[nearest] == 3
    np.testing.assert_allclose(
        heard.records[1].arrangement.hits.onset_s, heard.taps_s, err_msg="the cowbell is not where the taps are"
    )


def test_early_and_late_by_sixty_ms_as_the_words_say():
    errors_ms = example("early").errors_ms
    assert statistics.fmean(errors_ms[:8]) == pytest.approx(-60)
    assert statistics.fmean(errors_ms[8:]) == pytest.approx(60)


def test_the_usual_beginner_is_early_as_published():
    """About 30 to 50 ms: Aschersleben & Prinz 1995, Percept. Psychophys. 57, 305-317."""
    assert -50 <= statistics.fmean(example("habit").errors_ms) <= -30


@pytest.mark.parametrize("page", ["habit", "bias", "spread", "calibration"])
def test_the_figures_written_are_those_of_the_dots(page, screen):
    """Bias and spread above each strip, against the standard library's mean and standard deviation."""
    screen.open(page)
    strips = screen.view.findChildren(TimingStrip)
    words = [
        each.text() for each in screen.view.findChildren(QLabel) if "spread" in each.text() and "±" in each.text()
    ]
    assert len(strips) == len(PAGES[page].strips)
    for strip, drawn in zip(PAGES[page].strips, strips, strict=True):
        bias, spread = statistics.fmean(drawn.errors_ms), statistics.stdev(drawn.errors_ms)
        (text,) = (each for each in words if each.startswith(translated(strip.name)))
        figures = re.search(r"bias ([−+]?\d+) ± \d+ ms, spread (\d+) ms", text)
        assert int(figures[1].replace("−", "-")) == round(bias)
        assert int(figures[2]) == round(spread)


def test_the_examples_of_counting_on_are_what_the_pages_say():
    """A phrase of eight bars; a return on the two of bar 3 after no whole beats; a second record 2 % faster."""
    assert example("before").counts[0].bar_in_phrase.max() == 8
    count = example("lost").counts[0]
    back = int(np.diff(count.beats_s).argmax()) + 1
    assert (count.bar_in_phrase[back], count.beat_in_bar[back]) == (3, 2)
    assert (np.diff(count.beats_s).max() / 0.6) % 1 > 0.3
    first, second = (np.diff(record.arrangement.count.beats_s)[0] for record in example("ahead").records)
    assert first / second == pytest.approx(1.02)
