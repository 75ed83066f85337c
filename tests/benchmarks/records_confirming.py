"""Confirming a record by ear: keys pressed and seconds heard, by a script that knows the truth.

Songs: our own of `tests/recordings/songs.py` that are not for tuning, analysed as the program does. Each is confirmed
as it was found, and with errors drawn at the rates at which finders err (a feasibility study on 49 songs: octave
wrong in .07, the one in .12, phrases in .17, the end of the intro in .50).

The script stands for somebody who hears well. It hears two bars to tell beats and ones, then sets tempo and one
right; it presses "a phrase starts here" as the phrase turns, and looks for the end of the intro by the keys for
changes (or from the start), of which each is heard from the bar before. Every key counts, Return too; a click on the
sheet is not used. Where the music does not change at the end of its intro, arrow keys go there. What is confirmed
must be right; phrases of eight bars are where four are true, as two of these.
"""

import os
import tempfile
from dataclasses import replace
from pathlib import Path

import numpy as np

from synth.catalogue.analysis import Found, found_of
from synth.catalogue.correction import double, half, moved, phrase_at
from synth.catalogue.recording import Recording
from synth.recording.grid import Grid
from tests.recordings.songs import Truth, own_songs, write

ALL = bool(os.environ.get("TALLYBAR_ALL_SONGS"))
SONGS, DRAWN = (72, 4) if ALL else (16, 4)
OCTAVE, ONE, PHRASE, INTRO = 0.07, 0.12, 0.17, 0.50
GOAL_MEDIAN, GOAL_WORST, GOAL_S = 2, 6, 20.0
SEED = 18
# Rather than wait so many bars for the turn of a phrase, the script goes to another place.
LONG_BARS = 3


def spoiled(grid: Grid, rng: np.random.Generator) -> Grid:
    """A grid with errors drawn at the rates above."""
    if rng.random() < OCTAVE:
        grid = half(grid) if grid.tempo_bpm > 100 else double(grid)
    if rng.random() < ONE:
        grid = moved(grid, int(rng.integers(1, 4)))
    if rng.random() < PHRASE:
        grid = phrase_at(grid, grid.phrase_first + 1 + int(rng.integers(1, grid.phrase_bars)))
    if rng.random() < INTRO:
        grid = replace(grid, intro_bars=int(rng.choice([0, 4, 8, 12, 16, 24])))
    return grid


class Listener:
    """Confirms one record; counts ``keys`` and ``heard_s``."""

    def __init__(self, recording: Recording, outline: bytes, truth: Truth) -> None:
        from app.practice.records.confirming import Confirming
        from tests.app.silent import SilentPlayer

        self.player, self.truth = SilentPlayer(), truth
        self.keys, self.heard_s = 0, 0.0
        self.confirming = Confirming(recording, self.player, outline)
        self.confirming.hear()
        self.player.now_s = self.player.start_s
        self.bar_s = 4 * 60 / truth.tempo_bpm
        self.length = round(float(np.diff(truth.phrases_s)[0]) / self.bar_s)

    def listen(self, seconds: float) -> None:
        """Hear so much more."""
        self.player.now_s += seconds
        self.heard_s += seconds
        left_s = len(self.player.samples) / self.player.sample_rate_hz - self.player.position_s()
        assert left_s > 0, "listened beyond the end of what sounds"
        self.confirming.tick()

    def press(self, what: str, *arguments: int) -> None:
        """Press a key."""
        self.keys += 1
        plays = self.player.plays
        getattr(self.confirming, what)(*arguments)
        if self.player.plays > plays:
            self.player.now_s = self.player.start_s
            self.confirming.tick()

    @property
    def place_s(self) -> float:
        """What is heard now, in s of the file."""
        return self.confirming._stretch.from_s + self.player.position_s()

    def confirm(self) -> Grid:
        """Set right what is wrong, and confirm."""
        self.listen(2 * self.bar_s)
        for _ in range(2):
            ratio = self.confirming.grid.tempo_bpm / self.truth.tempo_bpm
            if ratio > 1.5:
                self.press("half")
            elif ratio < 0.7:
                self.press("double")
        self._ones()
        while self.confirming.grid.phrase_bars % self.length:
            self.press("phrase_length")
        if not (self.intro_bar > 1 and self._intro_is_wrong()):
            self._phrases()
        self._intro()
        self.keys += 1  # Return
        self.confirming.confirmed("learner")
        return self.confirming.grid

    def _ones(self) -> None:
        grid = self.confirming.grid
        off = (float(self.truth.ones_s[0]) - grid.one_s) / grid.beat_s
        if abs(off - round(off)) > 0.25:
            self.press("half_beat")
            grid = self.confirming.grid
            off = (float(self.truth.ones_s[0]) - grid.one_s) / grid.beat_s
        beats = round(off) % 4
        for _ in range(min(beats, 4 - beats)):
            self.press("later" if beats <= 2 else "earlier")

    def _phrase_is(self, at_s: float) -> bool:
        """Whether the grid has a phrase begin there."""
        grid = self.confirming.grid
        bars = (at_s - grid.one_s) / (4 * grid.beat_s) - grid.phrase_first
        return round(bars) % min(self.length, grid.phrase_bars) == 0

    def _phrases(self) -> None:
        starts_s = self.truth.phrases_s
        if self._phrase_is(float(starts_s[1])):
            return
        ahead_s = starts_s[starts_s > self.place_s]
        until_s = self.place_s + len(self.player.samples) / self.player.sample_rate_hz - self.player.position_s()
        if not ahead_s.size or ahead_s[0] > until_s - 0.2:
            self.press("hear")  # Space, twice: the first stops
            self.keys += 1
            ahead_s = starts_s[starts_s > self.place_s]
        if ahead_s[0] - self.place_s > LONG_BARS * self.bar_s and (way := self._turn_one_key_away()):
            self.press("next_change", way)
            ahead_s = starts_s[starts_s > self.place_s]
        self.listen(max(0.0, float(ahead_s[0]) - self.place_s + 0.1))
        self.press("phrase_here")

    def _turn_one_key_away(self) -> int:
        """The key that leads to a change with which a phrase begins, 1 or -1; 0 where neither does."""
        from synth.catalogue.outline import changes

        found, here = np.sort(changes(self.confirming.grid, self.confirming.outline)), self.confirming.leads_to
        for way, some in ((1, found[found > here][:1]), (-1, found[found < here][-1:])):
            if some.size and np.abs(self.truth.phrases_s - self.confirming.one_s(int(some[0]))).min() < 0.1:
                return way
        return 0

    @property
    def intro_bar(self) -> int:
        """The bar, by the grid, on which the intro has ended."""
        grid = self.confirming.grid
        end_s = float(self.truth.ones_s[0]) + (self.truth.intro_bars or 0) * self.bar_s
        return round((end_s - grid.one_s) / (4 * grid.beat_s)) + 1

    def _intro_is_wrong(self) -> bool:
        return (self.confirming.grid.intro_bars or 0) != self.intro_bar - 1

    def _intro(self) -> None:
        """The end of the intro, with which a phrase begins too."""
        if not self._intro_is_wrong():
            return
        bar = self.intro_bar
        if bar == 1:
            self.press("mark", 1)
            self.press("intro_ends_here")
            return
        self._go_to(bar)
        one_s = self.confirming.one_s(bar)
        self.listen(max(0.0, one_s - self.place_s + 0.1))
        self.press("intro_ends_here")
        if not self._phrase_is(one_s):
            self.press("phrase_here")

    def _go_to(self, bar: int) -> None:
        """The fewest keys to where the bar is heard from the bar before, or sounds soon."""
        from synth.catalogue.outline import changes

        ahead = self.confirming.one_s(bar) - self.place_s
        left_s = len(self.player.samples) / self.player.sample_rate_hz - self.player.position_s()
        if 0 < ahead < min(left_s - 0.2, 2 * self.bar_s):
            return
        found = np.sort(changes(self.confirming.grid, self.confirming.outline))
        if bar not in found:
            nearest = int(found[np.argmin(np.abs(found - bar))]) if found.size else 1
            self._jump(nearest, found)
            for _ in range(abs(bar - 1 - self.confirming.bar)):
                self.keys += 1
            self.confirming.mark(bar - 1)
            self.player.now_s = self.player.start_s
            return
        self._jump(bar, found)

    def _jump(self, bar: int, found: np.ndarray) -> None:
        here = self.confirming.leads_to
        straight = int(np.count_nonzero((found > min(here, bar)) & (found < max(here, bar)))) + 1
        from_start = 1 + int(np.count_nonzero(found < bar)) + 1
        jumps = straight
        if from_start < straight:
            self.press("mark", 1)
            here, jumps = 1, from_start - 1
        for _ in range(jumps):
            self.press("next_change", 1 if bar > here else -1)
            if self.confirming.leads_to != bar:
                self.listen(0.5 * self.bar_s)


def right(grid: Grid, truth: Truth) -> bool:
    """Whether tempo, ones, phrases and intro are those of the truth."""
    bar_s = 4 * 60 / truth.tempo_bpm
    if abs(grid.tempo_bpm - truth.tempo_bpm) > 0.1 or np.abs(truth.ones_s - grid.one_s).min() > 0.05:
        return False
    length = round(float(np.diff(truth.phrases_s)[0]) / bar_s)
    first_s = grid.one_s + grid.phrase_first * bar_s
    # In fours, as `records` judges them: after a break of four bars phrases of eight begin elsewhere than before.
    phrases = grid.phrase_bars % length == 0 and round((first_s - float(truth.phrases_s[0])) / bar_s) % 4 == 0
    end_s = float(truth.ones_s[0]) + (truth.intro_bars or 0) * bar_s
    return phrases and abs(grid.one_s + (grid.intro_bars or 0) * bar_s - end_s) < 0.2


def confirmed(found: Found, truth: Truth, grid: Grid) -> tuple[int, float, bool]:
    """Keys, seconds heard, and whether what was confirmed is right."""
    from datetime import date

    recording = Recording("0" * 32, "/nowhere/a.wav", "Invented", "", grid.duration_s, 0, grid, date(2030, 5, 1))
    listener = Listener(recording, found.outline, truth)
    made = listener.confirm()
    return listener.keys, listener.heard_s, right(made, truth)


def figures() -> dict[str, dict]:
    """Confirm every song as found and with drawn errors."""
    from app.practice.records import confirming

    def silence(sound, grid, stretch, counting, rate):  # type: ignore[no-untyped-def]
        return np.zeros((round(stretch.long_s * rate), 2), np.float32)

    mixed, confirming.heard = confirming.heard, silence
    rng, rows, as_found, refused = np.random.default_rng(SEED), [], [], 0
    try:
        for song in own_songs(SONGS):
            if song.tuning:
                continue
            with tempfile.TemporaryDirectory() as folder:
                path, truth = write(song, Path(folder))
                found = found_of(path)
            if found.grid.refused is not None:
                refused += 1
                continue
            as_found.append(confirmed(found, truth, found.grid))
            rows += [confirmed(found, truth, spoiled(found.grid, rng)) for _ in range(DRAWN)]
    finally:
        confirming.heard = mixed
    keys, heard_s = (np.array([row[at] for row in (*rows, *as_found)]) for at in (0, 1))
    wrong = sum(not row[2] for row in (*rows, *as_found))
    note = f"{len(rows)} confirmations with drawn errors, {len(as_found)} as found"

    def row(value: float, unit: str, goal: float, note: str = "") -> dict:
        return {"value": value, "unit": unit, "goal": f"at most {goal:g}", "met": value <= goal, "note": note}

    return {
        "keys_median": row(float(np.median(keys)), "keys", GOAL_MEDIAN, note),
        "keys_worst": row(
            float(keys.max()), "keys", GOAL_WORST, f"more than {GOAL_WORST}: {(keys > GOAL_WORST).sum()}"
        ),
        "heard_median_s": {"value": float(np.median(heard_s)), "unit": "s"},
        "heard_worst_s": row(
            float(heard_s.max()), "s", GOAL_S, f"more than {GOAL_S:g} s: {(heard_s > GOAL_S).sum()}"
        ),
        "confirmed_wrong": row(float(wrong), "", 0, "what was confirmed, against the truth"),
        "keys_as_found_worst": {"value": float(max(row[0] for row in as_found)), "unit": "keys"},
        "refused": {"value": refused, "unit": "songs", "note": "cannot be confirmed"},
    }
