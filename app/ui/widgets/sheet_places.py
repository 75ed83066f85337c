"""Where the beats of a count stand on its sheet: one bar a line, one block a phrase."""

from dataclasses import dataclass, field

import numpy as np
from PySide6.QtCore import QPointF, QRectF

from app.ui.base import theme as look
from synth.score.metre import Count

# Tallest line beside other things, and on the tutor's board. From two metres a figure of 17 mm is easy to read: three
# times what 20/40 sight needs (10 minutes of arc, by the definition of Snellen's fraction).
TALLEST_PX, TALLEST_ON_BOARD_PX = 110.0, 260.0
# Least readable height of a line (at a text size of 100 %): below it several phrases are broken, too.
LOWEST_PX = 30.0


@dataclass(frozen=True, slots=True)
class BlockLayout:
    """Geometry of a sheet's blocks in px; ``lines`` bars a block."""

    lines: int
    columns: int
    column_px: float
    line_px: float
    block_px: float
    gap_px: float


def place_blocks(
    width_px: float,
    height_px: float,
    phrases: int,
    lines: int,
    *,
    tallest_px: float = TALLEST_PX,
    slimmest: float = 3.4,
) -> BlockLayout:
    """The arrangement of ``phrases`` blocks of ``lines`` bars with the tallest line, at most ``tallest_px``.

    A line is at least ``slimmest`` times as wide as it is tall. A single phrase, or one that would be unreadable, may
    be broken into halves or quarters of at least four bars, side by side.
    """
    best: BlockLayout | None = None
    for part in (1, 2, 4):
        each, readable = lines // part, best is not None and best.line_px >= look.px(LOWEST_PX)
        if part > 1 and (lines % (4 * part) or (phrases > 1 and readable)):
            continue
        # The parts of one phrase of several stand in one row.
        by = part if phrases > 1 else 1
        for columns in range(by, phrases * part + 1, by):
            stacked = -(-phrases * part // columns)
            gap_x = look.STEP_PX * (6 if columns <= 4 else 3)
            column = (width_px - gap_x * (columns - 1)) / columns
            gap_y = look.STEP_PX * 3
            line = min((height_px - gap_y * (stacked - 1)) / (stacked * each), column / slimmest, tallest_px)
            if best is None or line > best.line_px:
                best = BlockLayout(each, columns, column, line, line * each, gap_x)
    assert best is not None
    return best


@dataclass(frozen=True, slots=True, eq=False)
class Places:
    """Places of the beats of a count in px: ``blocks`` from ``corner`` on, rows of them ``pitch_px`` apart."""

    count: Count
    blocks: BlockLayout
    corner: QPointF
    pitch_px: float
    cell_px: float
    _lines: tuple[tuple[float, float], ...] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_lines", tuple(map(self._line_of, range(len(self.count)))))

    @classmethod
    def of(cls, count: Count, inner: QRectF, *, on_board: bool = False) -> "Places":
        """The places within a page; ``on_board``: to be read from afar."""
        phrases = int(count.phrase_number[-1]) - int(count.phrase_number[0]) + 1
        lines = int(count.bar_in_phrase.max())
        limits = {"tallest_px": TALLEST_ON_BOARD_PX, "slimmest": 4.8} if on_board else {}
        blocks = place_blocks(inner.width(), inner.height(), phrases, lines, **limits)
        stacked = -(-phrases * (lines // blocks.lines) // blocks.columns)
        spare = inner.height() - stacked * blocks.block_px
        gap_y = min(look.STEP_PX * 5.0, spare / (stacked - 1)) if stacked > 1 else 0.0
        top = inner.top() + max(0.0, (spare - gap_y * (stacked - 1)) / 2)
        corner = QPointF(inner.left(), top)
        return cls(count, blocks, corner, blocks.block_px + gap_y, blocks.column_px / int(count.beat_in_bar.max()))

    def line_of(self, beat: int) -> tuple[float, float]:
        """Left edge and top of the line of a beat."""
        return self._lines[beat]

    def _line_of(self, beat: int) -> tuple[float, float]:
        count, blocks = self.count, self.blocks
        line = int(count.bar_in_phrase[beat]) - 1  # -1 for a pick-up, above the first
        part = max(0, line) // blocks.lines
        parts = int(count.bar_in_phrase.max()) // blocks.lines
        line -= part * blocks.lines
        phrase = int(count.phrase_number[beat]) - int(count.phrase_number[0])
        row, column = divmod(phrase * parts + part, blocks.columns)
        x = self.corner.x() + column * (blocks.column_px + blocks.gap_px)
        return x, self.corner.y() + row * self.pitch_px + line * blocks.line_px

    def near(self, beat: int) -> list[int]:
        """The beats of a beat's line, of the line above it and of the line below it."""
        left, top = self._lines[beat]
        far = 1.5 * self.blocks.line_px
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
