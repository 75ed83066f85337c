"""Where the beats of a count stand on its sheet: one bar a line, one block a phrase."""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from PySide6.QtCore import QPointF, QRectF

from app.ui.base import theme as look
from synth.base.arrays import Ints
from synth.score.metre import Count

# Tallest line beside other things, and on the tutor's board. From two metres a figure of 17 mm is easy to read: three
# times what 20/40 sight needs (10 minutes of arc, by the definition of Snellen's fraction).
TALLEST_PX, TALLEST_ON_BOARD_PX = 110.0, 260.0
# Least readable height of a line (at a text size of 100 %): below it several phrases are broken, too.
LOWEST_PX = 30.0
# Lines are at least so high if there are words above some of them; else the words are left out.
LOWEST_BELOW_WORDS_PX = 20.0
# Spare height goes between the lines, up to this share of a line: strokes and diamonds clear the numbers below.
LEADING = 0.35


@dataclass(frozen=True, slots=True)
class BlockLayout:
    """Geometry of a sheet's blocks in px; ``lines`` bars a block. The first ``skipped`` blocks are left out."""

    lines: int
    columns: int
    column_px: float
    line_px: float
    block_px: float
    gap_px: float
    skipped: int = 0


def place_blocks(
    width_px: float,
    height_px: float,
    phrases: int,
    lines: int,
    *,
    tallest_px: float = TALLEST_PX,
    slimmest: float = 3.4,
    words_px: Callable[[int, int, int], float] = lambda lines, columns, skipped: 0.0,
    used: Callable[[int], range] | None = None,
    ahead: int = 0,
) -> BlockLayout:
    """The arrangement of ``phrases`` blocks of ``lines`` bars with the tallest line, at most ``tallest_px``.

    A line is at least ``slimmest`` times as wide as it is tall. A single phrase, or one that would be unreadable, may
    be broken into halves or quarters of at least four bars, side by side. ``words_px`` is the height that words take
    in a row of blocks of so many lines, in so many columns, without the blocks skipped. ``used`` are the blocks of so
    many lines that have beats: in a single row the empty ones at its ends are left out. ``ahead`` lines stand above
    the first row.
    """
    best: BlockLayout | None = None
    for part in (1, 2, 4):
        each, readable = lines // part, best is not None and best.line_px >= look.px(LOWEST_PX)
        if part > 1 and (lines % (4 * part) or (phrases > 1 and readable)):
            continue
        # The parts of one phrase of several stand in one row.
        by = part if phrases > 1 else 1
        for columns in range(by, phrases * part + 1, by):
            stacked, skipped = -(-phrases * part // columns), 0
            if stacked == 1 and used is not None:
                columns, skipped = len(used(each)), used(each).start
            gap_x = look.STEP_PX * (6 if columns <= 4 else 3)
            column = (width_px - gap_x * (columns - 1)) / columns
            gap_y = look.STEP_PX * 3
            taken = words_px(each, columns, skipped)
            room = height_px - gap_y * (stacked - 1) - stacked * taken
            line = min(room / (stacked * each + ahead), column / slimmest, tallest_px)
            if best is None or line > best.line_px:
                best = BlockLayout(each, columns, column, line, line * each + taken, gap_x, skipped)
    assert best is not None
    return best


@dataclass(frozen=True, slots=True, eq=False)
class Places:
    """Places of the beats of a count in px: ``blocks`` from ``corner`` on, rows of them ``pitch_px`` apart.

    Above the lines of the beats ``worded`` there is room for ``head_lines`` lines of words, ``head_px`` high in all.
    Below every line there are ``leading_px``.
    """

    count: Count
    blocks: BlockLayout
    corner: QPointF
    pitch_px: float
    cell_px: float
    head_px: float = 0.0
    worded: frozenset[int] = frozenset()
    head_lines: int = 1
    leading_px: float = 0.0
    _lines: tuple[tuple[float, float], ...] = field(init=False)

    def __post_init__(self) -> None:
        blocks = self.blocks
        block, line = _block_line(self.count, np.arange(len(self.count)), blocks.lines)
        row, column = np.divmod(block - blocks.skipped, blocks.columns)
        above = np.zeros_like(row)
        for at, worded in _heads(self.count, self.worded, blocks.lines, blocks.columns, blocks.skipped):
            above += (row == at) & (worded <= line)
        x = self.corner.x() + column * (blocks.column_px + blocks.gap_px)
        y = self.corner.y() + row * self.pitch_px + line * (blocks.line_px + self.leading_px) + above * self.head_px
        object.__setattr__(self, "_lines", tuple(zip(x.tolist(), y.tolist(), strict=True)))

    @classmethod
    def of(
        cls,
        count: Count,
        inner: QRectF,
        *,
        on_board: bool = False,
        worded: frozenset[int] = frozenset(),
        head_px: float = 0.0,
        head_lines: int = 1,
    ) -> "Places":
        """The places within a page; ``on_board``: to be read from afar; ``worded`` as far as there is room for it."""
        phrases = int(count.phrase_number[-1]) - int(count.phrase_number[0]) + 1
        lines = int(count.bar_in_phrase.max())
        ahead = int(count.bar_in_phrase.min() < 1)  # a pick-up

        def words_px(each: int, columns: int, skipped: int) -> float:
            heads = _heads(count, worded, each, columns, skipped)
            return head_px * max(Counter(row for row, _ in heads).values(), default=0)

        def used(each: int) -> range:
            first, last = _block_line(count, np.array([0, len(count) - 1]), each)[0].tolist()
            return range(first, last + 1)

        tallest_px, slimmest = (TALLEST_ON_BOARD_PX, 4.8) if on_board else (TALLEST_PX, 3.4)
        blocks = place_blocks(
            inner.width(),
            inner.height(),
            phrases,
            lines,
            tallest_px=tallest_px,
            slimmest=slimmest,
            words_px=words_px,
            used=used,
            ahead=ahead,
        )
        if worded and blocks.line_px < LOWEST_BELOW_WORDS_PX:
            return cls.of(count, inner, on_board=on_board)
        stacked = -(-(used(blocks.lines).stop - blocks.skipped) // blocks.columns)
        spare = inner.height() - stacked * blocks.block_px - ahead * blocks.line_px
        gaps_y = look.STEP_PX * 3.0 * (stacked - 1)
        leading = max(0.0, min(blocks.line_px * LEADING, (spare - gaps_y) / (stacked * blocks.lines + ahead)))
        leading = 0.0 if on_board else leading
        block_px, ahead_px = blocks.block_px + blocks.lines * leading, ahead * (blocks.line_px + leading)
        spare = inner.height() - stacked * block_px - ahead_px
        gap_y = min(look.STEP_PX * 5.0, spare / (stacked - 1)) if stacked > 1 else 0.0
        top = inner.top() + ahead_px + max(0.0, (spare - gap_y * (stacked - 1)) / 2)
        corner = QPointF(inner.left(), top + leading / 2)
        cell_px = blocks.column_px / int(count.beat_in_bar.max())
        return cls(count, blocks, corner, block_px + gap_y, cell_px, head_px, worded, head_lines, leading)

    def line_of(self, beat: int) -> tuple[float, float]:
        """Left edge and top of the line of a beat."""
        return self._lines[beat]

    def near(self, beat: int) -> list[int]:
        """The beats of a beat's line, of the line above it and of the line below it."""
        left, top = self._lines[beat]
        far = 1.5 * (self.blocks.line_px + self.leading_px)
        return [at for at, (x, y) in enumerate(self._lines) if x == left and abs(y - top) < far]

    def centre(self, beat: int) -> QPointF:
        """Top of a beat's line, at the middle of its number."""
        x, y = self.line_of(beat)
        return QPointF(x + (int(self.count.beat_in_bar[beat]) - 0.5) * self.cell_px, y)

    def at(self, at_s: float) -> QPointF:
        """Top of a line where a moment falls, at most half a beat from the nearest beat."""
        beats_s = self.count.beats_s
        beat = int(np.abs(beats_s - at_s).argmin())
        period_s = float(np.append(beats_s, self.count.end_s)[beat + 1] - beats_s[beat])
        shift = float(np.clip((at_s - beats_s[beat]) / period_s, -0.5, 0.5))
        return self.centre(beat) + QPointF(shift * self.cell_px, 0.0)


def _heads(count: Count, worded: frozenset[int], lines: int, columns: int, skipped: int) -> set[tuple[int, int]]:
    """Rows of blocks, and lines in them, above which there are words: the same in all columns, so that they align."""
    block, line = _block_line(count, np.array(sorted(worded), dtype=np.intp), lines)
    return set(zip(((block - skipped) // columns).tolist(), line.tolist(), strict=True))


def _block_line(count: Count, beats: Ints, lines: int) -> tuple[Ints, Ints]:
    """Block, and line within it, of beats (n,) where blocks have so many lines."""
    line = count.bar_in_phrase[beats] - 1  # -1 for a pick-up, above the first
    part = np.maximum(0, line) // lines
    parts = int(count.bar_in_phrase.max()) // lines
    phrase = count.phrase_number[beats] - count.phrase_number[0]
    return phrase * parts + part, line - part * lines
