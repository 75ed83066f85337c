"""The form of a record: sections and their bars."""

from dataclasses import dataclass

from synth.base.errors import Trouble, near

SECTION_NAMES = ("intro", "verse", "chorus", "bridge", "build", "drop", "break", "outro")
MOST_BARS = 10_000


@dataclass(frozen=True, slots=True)
class Section:
    """A section of a record: ``start_s`` is the time of its first beat."""

    name: str
    start_s: float
    bars: int


@dataclass(frozen=True, slots=True)
class Form:
    """Names and bars of the sections, in order."""

    sections: tuple[tuple[str, int], ...]

    def __post_init__(self) -> None:
        if not self.sections:
            raise ValueError("a form has at least one section")
        if any(bars < 1 for _, bars in self.sections):
            raise ValueError(f"form {self}: every section has at least one bar")
        if self.bars > MOST_BARS:
            raise ValueError(f"form of {self.bars} bars: at most {MOST_BARS} expected")

    @classmethod
    def parse(cls, text: str) -> "Form":
        """Parse ``"intro:8,verse:16"``. Raises ``Trouble`` for any other text."""
        sections = []
        for part in text.split(","):
            name, colon, bars = (word.strip() for word in part.partition(":"))
            if name not in SECTION_NAMES:
                raise Trouble(
                    f"Form {text!r}: {name!r} is no section. Known are {', '.join(SECTION_NAMES)}."
                    f"{near(name, SECTION_NAMES)}"
                )
            if not colon or not bars.isascii() or not bars.isdecimal() or not 1 <= len(bars.lstrip("0")) <= 5:
                raise Trouble(f"Form {text!r}: {part.strip()!r} needs 1 to {MOST_BARS} bars, such as {name}:8.")
            sections.append((name, int(bars)))
        try:
            return cls(tuple(sections))
        except ValueError as error:
            raise Trouble(f"Form {text!r}: {error}.") from None

    def __str__(self) -> str:
        return ",".join(f"{name}:{bars}" for name, bars in self.sections)

    @property
    def bars(self) -> int:
        """Bars of the whole record."""
        return sum(bars for _, bars in self.sections)

    @property
    def intro_bars(self) -> int:
        """Bars of the intro; 0 where the form opens with another section."""
        name, bars = self.sections[0]
        return bars if name == "intro" else 0

    def phrases(self, phrase_bars: int) -> tuple[tuple[int, ...], ...]:
        """Bars of the phrases of each section: whole phrases, then the remainder as a short last one."""
        if phrase_bars < 1:
            raise ValueError(f"phrase of {phrase_bars} bars: at least 1 expected")
        return tuple(
            (phrase_bars,) * (bars // phrase_bars) + ((bars % phrase_bars,) if bars % phrase_bars else ())
            for _, bars in self.sections
        )
