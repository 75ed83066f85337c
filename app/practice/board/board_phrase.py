"""What the tutor's board counts: a phrase, how it is played, and how it is rendered as a loop."""

import math
from dataclasses import dataclass, replace
from enum import StrEnum
from pathlib import Path

from exercises.trial.sheet_marks import Shape, SheetMark, SheetMarks
from synth.base.border import shown
from synth.base.errors import Trouble
from synth.base.files import same
from synth.base.words import Say, Template
from synth.recording.source import MOST_STRETCH, TOO_SHORT, RecordingSource, phrase_rows
from synth.recording.teaching import LEAD_IN_S
from synth.score.arranging.arrangement import Arrangement
from synth.score.grooves import Groove, groove, grooves
from synth.score.hits import SHARP_DRUMS
from synth.score.metre import TEMPO_RANGE_BPM, Count, Metre, steady_count
from synth.sound.kits import FAMILY_NAMES, of_family
from synth.sound.loop import PHRASE_BARS, Loop, Second, loop, loop_phrase
from synth.sound.pool import POOL

USUAL = Template("board.usual_tempo", "{groove} usually has {usual} BPM, so the tempo is {usual} now.")
SAVED = Template("board.saved", "Saved as {name}: the drums and parts of your record.")
SAVED_ALONE = Template(
    "board.saved_alone", "Saved as {name}: your record alone, without the voice and the second record."
)
STAYS = Template("board.tempo_stays", "The tempo stays at {bpm}, as you set it; {groove} usually has {usual} BPM.")


DRUMS, OWN_RECORD = Template("board.drums", "drums"), Template("board.own_record", "your record")
NO_NOTES = Template("board.no_notes", "{title} is a recording. There are no notes to save.")


class Hear(StrEnum):
    """What is heard."""

    ALL = "all"
    SONG = "song"
    KICK = "kick"
    SNARE = "snare"


VOICES: dict[Hear, tuple[str, ...]] = {Hear.ALL: (), Hear.SONG: (), Hear.KICK: ("kick",), Hear.SNARE: SHARP_DRUMS}


class Beside(StrEnum):
    """A second record, by the place in the first one's phrase where its own phrase begins."""

    NONE = "none"
    ONE = "1"
    TWO = "2"
    THREE = "3"
    FOUR = "4"
    HALF = "half"


@dataclass(frozen=True, slots=True, eq=False)
class FileRecord:
    """A record from a file, with its name: of MIDI, or one of the learner's own recordings."""

    name: str
    record: Arrangement

    @classmethod
    def read(cls, path: Path) -> "FileRecord":
        """Read a file; ``Trouble`` where that is impossible or a drum is missing."""
        from synth.midi.reading import midi_arrangement  # not needed by the first screen

        return cls(path.name, midi_arrangement(path))

    @classmethod
    def of(cls, source: RecordingSource) -> "FileRecord":
        """A recording from its first whole phrase after the intro on, or without one from the first.

        ``Trouble`` where it has no whole phrase.
        """
        whole = source.whole()
        rows = phrase_rows(whole.count)
        if not rows.size:
            raise Trouble(TOO_SHORT(title=source.sound.title))
        after = rows[whole.count.bar_number[rows] > whole.intro_bars]
        return cls(source.sound.title, whole.excerpt(int(after[0] if after.size else rows[0])))

    @property
    def recorded(self) -> bool:
        """Whether it is a recording: then there are no single drums, and its tempo changes its pitch."""
        return self.record.recorded is not None


@dataclass(frozen=True, slots=True)
class BoardPhrase:
    """A phrase to count. ``way`` of counting is "bars" or "letters"; ``aloud``: a voice counts, in ``language``.

    ``file`` takes the place of ``groove``. ``own_tempo``: the tempo was set by hand and stays with another groove.
    ``intro``: bars of drums before the phrase of a recording, 0 for none.
    """

    groove: str = "backbeat"
    tempo_bpm: float = 96.0
    bars: int = 4
    hear: Hear = Hear.ALL
    way: str = "bars"
    aloud: bool = True
    language: str = "en"
    kit_family: str = FAMILY_NAMES[0]
    beside: Beside = Beside.NONE
    file: FileRecord | None = None
    own_tempo: bool = False
    intro: int = 0

    @property
    def source(self) -> Groove | Arrangement:
        """What is played."""
        return groove(self.groove) if self.file is None else self.file.record

    @property
    def metre(self) -> Metre:
        """The metre of what is played."""
        return self.source.metre

    @property
    def usual_bpm(self) -> int:
        """The usual tempo of the groove, or that of the file, in whole BPM within limits."""
        return _within(groove(self.groove).usual_tempo_bpm if self.file is None else self.file.record.tempo_bpm)

    def count(self) -> Count:
        """The count of the phrase, its first one at 0 s."""
        return steady_count(self.tempo_bpm, [self.intro, self.bars] if self.intro else [self.bars], self.metre)

    def marks(self) -> SheetMarks:
        """Where on its sheet the drum intro stands, if there is one, and where the record comes in."""
        if not self.intro:
            return SheetMarks()
        enters_s = float(self.count().phrase_starts_s[1])
        return SheetMarks((SheetMark(Shape.FLAG, 0.0, DRUMS()), SheetMark(Shape.FLAG, enters_s, OWN_RECORD())))

    def at_tempo(self, bpm: float) -> "BoardPhrase":
        """The phrase at a tempo set by hand, in whole BPM within limits: for a recording those of its pitch."""
        if self.file is not None and self.file.recorded:
            own = self.file.record.tempo_bpm
            bpm = min(math.floor(own * (1 + MOST_STRETCH)), max(math.ceil(own * (1 - MOST_STRETCH)), bpm))
        return replace(self, tempo_bpm=float(_within(bpm)), own_tempo=True)

    def with_groove(self, name: str) -> "BoardPhrase":
        """The phrase with another groove; ``Trouble`` for an unknown one."""
        groove(name)
        return replace(self, groove=name, file=None, intro=0)._at_its_tempo()

    def with_record(self, record: FileRecord) -> "BoardPhrase":
        """The phrase from a file, with all that is in it; a recording plays alone, with its own tempo and phrases."""
        found = replace(self, file=record, hear=Hear.SONG, intro=self.intro if record.recorded else 0)
        if record.recorded:
            found = replace(found, beside=Beside.NONE, own_tempo=False)
            if record.record.phrase_bars in PHRASE_BARS:
                found = replace(found, bars=record.record.phrase_bars)
        return found._at_its_tempo()

    def _at_its_tempo(self) -> "BoardPhrase":
        """At the usual tempo unless it was set by hand; a second record that no bar has room for goes."""
        beats = self.metre.beats_per_bar
        beside = Beside.NONE if self.beside.isdigit() and int(self.beside) > beats else self.beside
        return replace(self, tempo_bpm=self.tempo_bpm if self.own_tempo else float(self.usual_bpm), beside=beside)

    def next_groove(self, by: int) -> "BoardPhrase":
        """The phrase with the groove ``by`` places further in the list."""
        names = list(grooves())
        return self.with_groove(names[(names.index(self.groove) + by) % len(names)])

    def same_source(self, other: "BoardPhrase") -> bool:
        """Whether the two play the same groove or file, however long."""
        return (self.groove, self.file) == (other.groove, other.file)

    def same_count(self, other: "BoardPhrase") -> bool:
        """Whether the two have the same sheet: source and bars are alike."""
        return self.same_source(other) and (self.bars, self.intro) == (other.bars, other.intro)

    def alike(self, other: "BoardPhrase") -> bool:
        """Whether the two differ only in drums, records and voice, so that they can be exchanged on any beat."""
        return self.same_count(other) and self.tempo_bpm == other.tempo_bpm

    def tempo_told(self, before: "BoardPhrase", title: str) -> Say | None:
        """What became of the tempo with another groove or file, called ``title``; None if nothing is to be told."""
        if self.same_source(before) or self.usual_bpm == before.tempo_bpm:
            return None
        if self.own_tempo:
            return STAYS(bpm=round(self.tempo_bpm), groove=title, usual=self.usual_bpm)
        return USUAL(groove=title, usual=self.usual_bpm)


def save_midi(phrase: BoardPhrase, path: Path) -> Say:
    """Write the phrase, once round, as a MIDI file; returns what was written. ``Trouble`` where that is impossible.

    Voice and second record are left out: a file has no voice, and its drums have one channel.
    """
    from synth.midi.writing import write_midi  # not needed by the first screen

    if phrase.file is not None and phrase.file.recorded:
        raise Trouble(NO_NOTES(title=phrase.file.name))
    record = loop_phrase(
        phrase.source, phrase.tempo_bpm, phrase.bars, voices=VOICES[phrase.hear], song=phrase.hear is Hear.SONG
    )
    write_midi(path, record)
    alone = phrase.aloud or phrase.beside is not Beside.NONE
    return (SAVED_ALONE if alone else SAVED)(name=path.name)


def save_sound(phrase: BoardPhrase, path: Path) -> Say:
    """Write the phrase of a recording, once round, as it is heard; returns what was written.

    ``Trouble`` where that is impossible; ``ValueError`` for any other phrase.
    """
    from app.practice.records.written import RATE_HZ, REPLACES, WRITTEN, check_name, write_layers
    from synth.catalogue.catalogue import Catalogue
    from synth.sound.mixdown import Layer

    heard = None if phrase.file is None else phrase.file.record.recorded
    if phrase.file is None or heard is None:
        raise ValueError("a phrase of a recording expected")
    check_name(path)
    if same(path, heard.path) or Catalogue().lists(path):
        raise Trouble(REPLACES(path=shown(path)))
    record = loop_phrase(phrase.source, phrase.tempo_bpm, phrase.bars, LEAD_IN_S, intro_bars=phrase.intro)
    kit = POOL.kit(of_family(0, phrase.kit_family), RATE_HZ)
    layer = Layer(record, kit, spoken=phrase.way if phrase.aloud else None, language=phrase.language)
    write_layers(path, [layer], f"{phrase.file.name}, {phrase.tempo_bpm:.2f} BPM")
    return WRITTEN(path=shown(path))


def _within(bpm: float) -> int:
    low, high = TEMPO_RANGE_BPM
    return round(min(high, max(low, bpm)))


def render(phrase: BoardPhrase, sample_rate_hz: int) -> Loop:
    """The phrase as a loop. ``Trouble`` where a MIDI file has too much in it, or a recording too little."""
    family, beats = phrase.kit_family, phrase.metre.beats_per_bar * phrase.bars
    second = None
    if phrase.beside is not Beside.NONE:
        # Drums of another family, so that the two are told apart.
        other = FAMILY_NAMES[(FAMILY_NAMES.index(family) + 1) % len(FAMILY_NAMES)]
        at = beats // 2 if phrase.beside is Beside.HALF else int(phrase.beside) - 1
        second = Second(POOL.kit(of_family(0, other), sample_rate_hz), at)
    return loop(
        phrase.source,
        POOL.kit(of_family(0, family), sample_rate_hz),
        tempo_bpm=phrase.tempo_bpm,
        phrase_bars=phrase.bars,
        voices=VOICES[phrase.hear],
        song=phrase.hear is Hear.SONG,
        spoken=phrase.way if phrase.aloud else None,
        language=phrase.language,
        second=second,
        intro_bars=phrase.intro,
    )
