"""Drum: one drum of a groove sounds alone after a bar or two; the learner names it."""

from dataclasses import dataclass, replace

import numpy as np

from exercises.forms.choice_drill import ChoiceDrill
from exercises.forms.pools import TAKING_TURNS
from exercises.forms.rungs import Rung
from exercises.forms.tap_drill import LEAD_IN_S
from exercises.trial.replay import Version, both
from exercises.trial.result import Result
from exercises.trial.sheet_marks import Shape, SheetMark, SheetMarks
from exercises.trial.trial import Answer, Choice, Kind, Part, Trial
from synth.base.arrays import Seconds
from synth.base.words import Say, Template
from synth.score.arranging.arrangement import Arrangement, arrange
from synth.score.arranging.source import Source
from synth.score.form import Form
from synth.score.hits import DRUMS, Hits
from synth.score.metre import steady_count

LOW, SHARP = "low", "sharp"
# Seconds after the groove, which has decayed when the one drum sounds.
HUSH_BEATS = 2
# Range of velocities of the one drum: random, so that loudness is no cue.
VELOCITY = (0.7, 1.0)
# Times in seconds of the drums shown and of the groove after them, the same at every tempo, at one velocity.
LOW_AT_S, SHARP_AT_S, GROOVE_AT_S = LEAD_IN_S, LEAD_IN_S + 1.0, LEAD_IN_S + 2.5
SHOWN_VELOCITY = 0.75
# Tempo at which both drums are heard after a wrong answer, four strokes each.
COMPARED_BPM = 100.0
# A stroke may come so many seconds before the bar that it belongs to; weaker than this share of the strongest it is
# a ghost stroke.
EARLY_S, GHOST = 0.03, 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class DrumRung(Rung):
    """``drums``: candidates. With ``asks_depth`` the question is low or sharp, else which drum.

    ``contrast``, 1 to 0: timbral distance of the low drum (``synth.sound.kit.Kit``). ``shown``: both drums sound
    alone before the groove, the low one first.
    """

    drums: tuple[str, ...] = ("kick", "snare")
    asks_depth: bool = True
    contrast: float = 1.0
    listen_bars: int = 2
    shown: bool = False


# Every groove uses all drums of its rung.
RUNGS = (
    DrumRung(
        id="kick-or-snare",
        new=Template("drum.rung.1", "kick and snare, far apart"),
        tempo_bpm=(84, 100),
        grooves=TAKING_TURNS,
        shown=True,
    ),
    DrumRung(
        id="kick-or-clap",
        new=Template("drum.rung.2", "kick and clap"),
        tempo_bpm=(118, 126),
        grooves=("four-on-the-floor", "disco", "deep-house", "latin-house"),
        drums=("kick", "clap"),
    ),
    DrumRung(
        id="more-alike",
        new=Template("drum.rung.3", "kick and snare sound more alike"),
        tempo_bpm=(84, 116),
        grooves=(*TAKING_TURNS, "rock"),
        contrast=0.6,
    ),
    DrumRung(
        id="much-alike",
        new=Template("drum.rung.4", "kick and snare much alike, after one bar"),
        tempo_bpm=(92, 126),
        grooves=(*TAKING_TURNS, "rock", "broken-beat"),
        contrast=0.25,
        listen_bars=1,
    ),
    DrumRung(
        id="four-hats",
        new=Template("drum.rung.5", "which of four: kick, snare, closed or open hat"),
        tempo_bpm=(84, 100),
        grooves=("backbeat", "hip-hop", "funk"),
        drums=("kick", "snare", "closed_hat", "open_hat"),
        asks_depth=False,
    ),
    DrumRung(
        id="alike-as-can-be",
        new=Template("drum.rung.9", "kick or snare, as alike as can be"),
        tempo_bpm=(112, 144),
        grooves=("disco", "half-time"),
        drums=("kick", "snare"),
        contrast=0.0,
        listen_bars=1,
    ),
    DrumRung(
        id="four-tambourine",
        new=Template("drum.rung.6", "which of four: kick, snare, closed hat or tambourine"),
        tempo_bpm=(92, 120),
        grooves=("backbeat", "rock", "soul", "straight-eights"),
        drums=("kick", "snare", "closed_hat", "tambourine"),
        asks_depth=False,
        contrast=0.6,
    ),
    DrumRung(
        id="four-conga",
        new=Template("drum.rung.7", "kick, clap, rim and conga, after one bar"),
        tempo_bpm=(118, 126),
        grooves=("four-on-the-floor", "deep-house", "latin-house", "afro-house"),
        drums=("kick", "clap", "rim", "conga"),
        asks_depth=False,
        contrast=0.6,
        listen_bars=1,
    ),
    DrumRung(
        id="four-cowbell",
        new=Template("drum.rung.8", "kick, snare, clap and cowbell, nearly alike"),
        tempo_bpm=(112, 144),
        grooves=("disco", "half-time"),
        drums=("kick", "snare", "clap", "cowbell"),
        asks_depth=False,
        contrast=0.25,
        listen_bars=1,
    ),
)

WHICH = Template("drum.which", "A groove, then one drum alone: which was it?")
DEPTH = Template("drum.depth", "A groove, then one drum alone: was it the kick, or was it the snare or clap?")
SHOWN = Template(
    "drum.shown",
    "First the kick, then the snare. Then a groove, and kick or snare alone: which was it?",
)
NAMES = {
    LOW: Template("drum.names.low", "the kick"),
    SHARP: Template("drum.names.sharp", "the snare or clap"),
    "kick": Template("drum.names.kick", "the kick"),
    "snare": Template("drum.names.snare", "the snare"),
    "clap": Template("drum.names.clap", "the clap"),
    "rim": Template("drum.names.rim", "the rim"),
    "closed_hat": Template("drum.names.closed_hat", "the closed hat"),
    "open_hat": Template("drum.names.open_hat", "the open hat"),
    "tambourine": Template("drum.names.tambourine", "the tambourine"),
    "conga": Template("drum.names.conga", "the conga"),
    "cowbell": Template("drum.names.cowbell", "the cowbell"),
}
SOUNDS = {
    LOW: Template("drum.sounds.low", "a thump, felt more than heard"),
    SHARP: Template("drum.sounds.sharp", "a crack, high and short"),
    "kick": Template("drum.sounds.kick", "a thump, felt more than heard"),
    "snare": Template("drum.sounds.snare", "a crack with a rattle in it"),
    "clap": Template("drum.sounds.clap", "many hands at once"),
    "rim": Template("drum.sounds.rim", "a dry click of wood"),
    "closed_hat": Template("drum.sounds.closed_hat", "a short tick of metal"),
    "open_hat": Template("drum.sounds.open_hat", "a hiss of metal that rings on"),
    "tambourine": Template("drum.sounds.tambourine", "a jingle"),
    "conga": Template("drum.sounds.conga", "a round tone, as of a hand on a barrel"),
    "cowbell": Template("drum.sounds.cowbell", "a hollow clank"),
}
YES = Template("drum.yes", "That was {drum}: {sound}.")
NO = Template("drum.no", "That was {drum}: {sound}.")
YOUR_DRUM = Template("drum.your_drum", "your answer: {drum}")
STROKES = Template("drum.strokes", "Diamond: a stroke in the bar that you heard.")
LISTEN = Template("drum.listen", "You chose {given}, which is {sound}. Hear it again, and compare.")


class Drum(ChoiceDrill[DrumRung]):
    """Low or sharp drum; later which of four."""

    id = "drum"
    place = 20
    ladder = 20
    main_rungs = 4
    often = 0.5
    title = Template("drum.title", "The drum")
    asks = WHICH
    kind = Kind.CHOICE
    counts = False
    rungs = RUNGS
    not_on_records = Template(
        "drum.not_on_records",
        "{drill} is not practised on your own records: their count does not tell one drum from another.",
    )

    def build(self, rung: DrumRung, rng: np.random.Generator, source: Source) -> Trial:
        groove, tempo_bpm = source.drums()
        per_bar, beat_s = groove.metre.beats_per_bar, 60.0 / tempo_bpm
        at = int(rng.integers(len(rung.drums)))
        lead_in_s = GROOVE_AT_S if rung.shown else LEAD_IN_S
        record = arrange(
            groove,
            tempo_bpm=tempo_bpm,
            form=Form((("verse", 2 * rung.phrase_bars),)),
            phrase_bars=rung.phrase_bars,
            seed=int(rng.integers(2**31)),
        ).excerpt(0, rung.listen_bars * per_bar + HUSH_BEATS + 1, lead_in_s=lead_in_s)
        hush_s = lead_in_s + rung.listen_bars * per_bar * beat_s
        arrangement = _with_hit(
            record.without(hush_s, record.count.end_s + 1.0),
            rung.drums[at],
            hush_s + HUSH_BEATS * beat_s,
            float(rng.uniform(*VELOCITY)),
        )
        if rung.shown:
            for drum, onset_s in zip(rung.drums, (LOW_AT_S, SHARP_AT_S), strict=True):
                arrangement = _with_hit(arrangement, drum, onset_s, SHOWN_VELOCITY)
        keys = tuple(LOW if drum == "kick" else SHARP for drum in rung.drums) if rung.asks_depth else rung.drums
        return Trial(
            question=SHOWN() if rung.shown else DEPTH() if rung.asks_depth else WHICH(),
            arrangement=arrangement,
            period_s=beat_s,
            help=rung.help,
            choices=tuple(Choice(key, NAMES[key]()) for key in keys),
            expected=keys[at],
            contrast=rung.contrast,
        )

    def verdict(self, trial: Trial, given: str | float, score: float) -> tuple[Say, ...]:
        truth, said = str(trial.expected), str(given)
        told = {"drum": NAMES[truth](), "sound": SOUNDS[truth]()}
        if score == 1.0:
            return (YES(**told),)
        return NO(**told), LISTEN(given=NAMES[said](), sound=SOUNDS[said]())

    def sheet_marks(self, trial: Trial, answer: Answer, result: Result) -> SheetMarks | None:
        """Where each of the drums lies in the bar that was heard; None without the trial's own sound."""
        record = trial.arrangement
        if record is None or not set(DRUMS) <= set(record.hits.voices):  # plain drums stand in for an old trial's own
            return None
        row = self.row_at(trial.rung)
        per_bar = int(trial.count.beat_in_bar.max())
        bar_s = per_bar * trial.period_s
        count = steady_count(record.tempo_bpm, [1] * len(row.drums), record.metre)
        marks = []
        for at, (choice, drum) in enumerate(zip(trial.choices, row.drums, strict=True)):
            own = choice.key == result.mistaken
            words = YOUR_DRUM(drum=choice.say) if own else choice.say
            strokes_s = at * bar_s + _in_bar_s(record, drum, float(trial.count.beats_s[0]), bar_s)
            marks.append(SheetMark(Shape.FLAG, at * bar_s, words, own))
            marks += [SheetMark(Shape.ONE, float(each), None, own) for each in strokes_s]
        return SheetMarks(tuple(marks), count, legend=STROKES())

    def versions(self, trial: Trial, result: Result) -> tuple[Version, ...]:
        """Both drums, also after a right answer: all of them where there are four."""
        if result.right and trial.arrangement is not None:
            return self.with_others(trial, trial.arrangement)
        return super().versions(trial, result)

    def both_ways(self, trial: Trial, record: Arrangement, said: str | float) -> tuple[Version, ...]:
        """The drum that it was and the one that was chosen, each alone."""
        keys = [choice.key for choice in trial.choices]
        if said not in keys:
            return ()
        # With low and sharp the rung has two drums, in the order of the choices.
        drums = dict(zip(keys, self.row_at(trial.rung).drums, strict=True))
        was, took = ((NAMES[str(key)](), drums[str(key)]) for key in (trial.expected, said))
        return both(lambda drum: _strokes(record, drum, trial.kit_seed), was, took)


def _in_bar_s(record: Arrangement, drum: str, start_s: float, bar_s: float) -> Seconds:
    """Onsets of a drum in a bar, in s from its start; without the ghost strokes between the others."""
    hits = record.hits
    at_s = hits.grid_s - start_s
    rows = (hits.voice == hits.voices.index(drum)) & (at_s > -EARLY_S) & (at_s < bar_s - EARLY_S)
    strong = rows & (hits.velocity >= GHOST * hits.velocity[rows].max(initial=0.0))
    found: Seconds = np.maximum(at_s[strong], 0.0)
    return found


def _strokes(record: Arrangement, drum: str, kit_seed: int) -> tuple[Part]:
    """A bar of one drum."""
    count = steady_count(COMPARED_BPM, [1])
    voices, n = record.hits.voices, len(count)
    hits = Hits.of(count.beats_s, np.full(n, voices.index(drum)), np.full(n, SHOWN_VELOCITY), voices)
    return (Part(replace(record, count=count, hits=hits, sections=(), turns=(), exceptions=()), kit_seed),)


def _with_hit(arrangement: Arrangement, drum: str, onset_s: float, velocity: float) -> Arrangement:
    """Add one hit to a record."""
    hits = arrangement.hits
    return replace(
        arrangement,
        hits=Hits.of(
            np.append(hits.onset_s, onset_s),
            np.append(hits.voice, hits.voices.index(drum)),
            np.append(hits.velocity, velocity),
            hits.voices,
            np.append(hits.pitch, 0),
            np.append(hits.duration_s, 0.0),
            shift_s=np.append(hits.shift_s, 0.0),
        ),
    )


DRILL = Drum()
