"""What a record is said to be: its tempo, length, intro, how its count stands, and where it sounds."""

from PySide6.QtCore import QObject

from app.practice.records.confirming import Confirming
from app.practice.records.shelf import Stand, stand_of
from app.ui.base.numbers_and_dates import number
from app.ui.base.words import spoken
from synth.catalogue.recording import Confirmer, Recording
from synth.recording.grid import Grid


class RecordWords(QObject):
    """Texts about a ``Recording``, and about one whose count is heard."""

    def title(self, recording: Recording) -> str:
        """Artist and title."""
        if not recording.artist:
            return recording.name
        return self.tr("{artist}: {title}").format(artist=recording.artist, title=recording.name)

    def tempo(self, grid: Grid) -> str:
        """The tempo of a grid, empty without one."""
        return "" if grid.refused is not None else self.tr("{n} BPM").format(n=number(grid.tempo_bpm, 2))

    def length(self, recording: Recording) -> str:
        """Minutes and seconds; empty where nothing is known of them."""
        return clock_words(recording.duration_s) if recording.duration_s else ""

    def intro(self, recording: Recording) -> str:
        """Bars of the intro."""
        bars = recording.grid.intro_bars
        if recording.grid.refused is not None or bars is None:
            return ""
        return self.bars(bars) if bars else self.tr("no intro")

    def bars(self, bars: int) -> str:
        """So many bars."""
        return self.tr("one bar") if bars == 1 else self.tr("{n} bars").format(n=number(bars))

    def by(self, confirmer: Confirmer) -> str:
        """Who has confirmed a count."""
        return {
            "": self.tr("Not confirmed by ear yet"),
            "learner": self.tr("Confirmed by you"),
            "tutor": self.tr("Confirmed by the tutor"),
        }[confirmer]

    def stand(self, recording: Recording, *, missing: bool = False) -> str:
        """How its count stands, or why it has none."""
        match stand_of(recording):
            case Stand.UNSURE:
                words = self.tr("Unsure: hear it, and confirm")
            case Stand.SURE:
                words = self.tr("Sure, not confirmed by ear yet")
            case Stand.CONFIRMED:
                words = self.by(recording.confirmed_by)
            case _:
                words = "" if recording.why is None else spoken(recording.why)
                words = words[:1].upper() + words[1:]
        if not recording.path:
            return self.tr("The count is here, its file is not. {words}").format(words=words)
        return self.tr("File not found. {words}").format(words=words) if missing else words

    def about(self, confirming: Confirming) -> str:
        """Tempo, length, and how the count stands, as it was set right so far."""
        recording = confirming.recording
        stand = self.tr("Set right, not yet confirmed") if confirming.changed else self.stand(recording)
        return "  ·  ".join(filter(None, (self.tempo(confirming.grid), self.length(recording), stand)))

    def place(self, confirming: Confirming) -> str:
        """Where the marked bar lies."""
        bar, count = confirming.bar, confirming.grid.count()
        first = int((count.bar_number == bar).argmax())
        words = self.tr("Bar {bar} of {bars}  ·  phrase {phrase}, bar {in_phrase}  ·  {time}")
        return words.format(
            bar=number(bar),
            bars=number(confirming.bars),
            phrase=number(int(count.phrase_number[first])),
            in_phrase=number(int(count.bar_in_phrase[first])),
            time=clock_words(confirming.one_s(bar)),
        )

    def place_in_intro(self, bar: int, bars: int) -> str:
        """Which bar of a drum intro sounds."""
        words = self.tr("Drum intro: bar {bar} of {bars}, then the record")
        return words.format(bar=number(bar), bars=number(bars))


def clock_words(seconds: float) -> str:
    """A time as minutes and seconds, or with hours."""
    whole = round(seconds)
    hours, rest = divmod(whole, 3600)
    minutes, seconds = divmod(rest, 60)
    return f"{hours}:{minutes:02}:{seconds:02}" if hours else f"{minutes}:{seconds:02}"
