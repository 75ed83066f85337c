"""A listener, written down: how likely somebody is right on a rung without guessing.

A rung asks for several things, each of which may fail by itself: to find the one, to hear the phrase, to keep the
count, to keep the beat through a silence, to tell two tempos or two drums apart, to name a tempo. The probabilities
are multiplied (conjunctive model: Embretson 1984, Psychometrika 49, 175-186; from memory). What is categorical is a
sum of costs in logits (linear logistic test model: Fischer 1973, Acta Psychologica 37, 359-374; from memory), and the
costs are estimates of ours until answers tell better; what is timing follows from the normal distribution.

Sources of the three listeners, from memory: a beat kept alone varies by 2 to 3 % in trained people and by 4 to 6 % in
others, who tap with 20 to 40 ms to a sound (Repp 2005, Psychon. Bull. Rev. 12, 969-992; Wing & Kristofferson 1973,
Percept. Psychophys. 14, 5-12); a tempo is remembered about as well as it is told from another, 2 to 6 % for a single
comparison and less after many beats (Drake & Botte 1993, Percept. Psychophys. 54, 277-286); a tempo is named or sung
within 8 % in 72 % of trials by untrained people (Levitin & Cook 1996, Percept. Psychophys. 58, 927-935).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from statistics import NormalDist
from typing import Any

from exercises.drills.in_line import Ask
from exercises.drills.through import Tapping
from exercises.forms.pools import EARLY_OR_LATE, FOURS, HALF_TIMES, TAKING_TURNS
from exercises.forms.rungs import Music, Rung
from synth.score.arranging.turns import Signal
from synth.score.departures import Departure


@dataclass(frozen=True, slots=True)
class Listener:
    """``metre``, ``phrase`` and ``timbre`` are abilities in logits, ``loses`` the probability to lose count in a bar.

    SDs: ``clock`` and ``memory`` of a beat of one's own and of the remembered tempo, ``comparing`` of two tempos and
    ``naming`` of one, as shares; ``hand_s`` of a tap.
    """

    name: str
    metre: float
    phrase: float
    timbre: float
    loses: float
    clock: float
    memory: float
    comparing: float
    naming: float
    hand_s: float


LISTENERS = (
    Listener("beginner", 0.5, 0.0, 1.0, 0.03, 0.05, 0.025, 0.06, 0.12, 0.035),
    Listener("trained", 2.5, 2.0, 3.0, 0.008, 0.025, 0.01, 0.025, 0.06, 0.02),
    Listener("expert", 4.5, 4.0, 5.0, 0.002, 0.015, 0.005, 0.013, 0.03, 0.012),
)

# Costs in logits of finding beat and one in a groove; what is in no pool costs ``OTHER``.
ONE_COST = {
    **dict.fromkeys(TAKING_TURNS, 0.0),
    **dict.fromkeys(FOURS, 0.8),
    **dict.fromkeys(EARLY_OR_LATE, 1.6),
    **dict.fromkeys(HALF_TIMES, 2.2),
    **dict.fromkeys(("waltz", "five-four"), 3.4),
}
BEAT_COST = {
    **dict.fromkeys(FOURS, -1.0),
    **dict.fromkeys(TAKING_TURNS, 0.0),
    "shuffle": 1.1,
    **dict.fromkeys(("backbeat", "soul"), 0.0),
    **dict.fromkeys(EARLY_OR_LATE, 1.6),
    **dict.fromkeys(("funk",), 1.4),
    **dict.fromkeys(("waltz", "five-four"), 2.8),
}
OTHER = 0.8
VOICE, SHEET, FEW_VOICED = 2.0, 1.0, 0.6
# Costs: drums alike, a start anywhere, misleading signs, a turn without one, a hint; a halved time to listen.
ALIKE, ANYWHERE, MISLEADS, SILENT, HINT, SHORTER = 2.9, 0.3, 0.8, 1.3, 0.5, 0.5
FAST_BPM, SLOW_BPM, TEMPO = 130.0, 92.0, 0.25
NORMAL = NormalDist()


def sigma(logit: float) -> float:
    """Probability of a logit."""
    return 1 / (1 + math.exp(-logit))


def within(limit: float, sd: float) -> float:
    """Probability of a normal error within a limit."""
    return 2 * NORMAL.cdf(limit / sd) - 1


def _mean(row: Rung, costs: dict[str, float], ability: float) -> float:
    return sum(sigma(ability - costs.get(name, OTHER)) for name in row.grooves) / len(row.grooves)


def _help(row: Rung, counted: bool = True) -> float:
    voice = (
        (VOICE if row.help.voice_beats is None else FEW_VOICED * row.help.voice_beats / 8) if row.help.voice else 0
    )
    return (voice + SHEET * row.help.sheet) * counted


def _tempo(row: Rung) -> float:
    fast, slow = max(0.0, row.tempo_bpm[1] - FAST_BPM), max(0.0, SLOW_BPM - row.tempo_bpm[0])
    return TEMPO * (fast / 20 + slow / 10)


def _one(who: Listener, row: Rung, bars: float = 2.0) -> float:
    """Finds the one within so many bars."""
    ability = who.metre + _help(row) + SHORTER * math.log2(bars / 2) - _tempo(row)
    if row.even:  # the drums tell nothing
        return sigma(ability - ALIKE - 0.8)
    return _mean(row, ONE_COST, ability)


def _keeps(who: Listener, row: Rung, bars: float) -> float:
    """Keeps the count for so many bars; with help it is lost less often."""
    return float((1 - who.loses / (1 + _help(row))) ** bars)


def _through(who: Listener, beats: float, period_s: float, own: float = 1.0) -> float:
    """Meets a beat so many beats into a silence: window a third of the beat, at most 0.2 s."""
    clock = math.hypot(who.clock * math.sqrt(beats), who.memory * beats) * own
    return within(min(1 / 3, 0.2 / period_s), math.hypot(clock, who.hand_s / period_s))


def _period_s(row: Rung) -> float:
    return 120.0 / sum(row.tempo_bpm)


def _phrase(who: Listener, row: Any, traps: tuple[str, ...] = (), cost: float = 0.0) -> float:
    """Hears where phrases turn."""
    signals = getattr(row, "signals", None)
    loud = signals is not None and Signal.CRASH in signals
    signs = -0.5 if loud else 0.5 if signals is not None else 0.3
    wrong = MISLEADS * sum(each != Departure.SILENT_TURN for each in traps) + SILENT * (
        Departure.SILENT_TURN in traps
    )
    wrong += 0.5 * (Departure.SIX_BAR_PHRASE in traps) + 0.4 * (Departure.FALSE_TURN in traps)
    return sigma(who.phrase + _help(row) - signs - wrong - cost - _tempo(row))


def beat(who: Listener, row: Any) -> float:
    ability = who.metre + 1.0 + _help(row) + SHORTER * math.log2(row.listen_bars / 2) - _tempo(row) - 1.5 * row.holes
    return _mean(row, BEAT_COST, ability) * _keeps(who, row, row.bars / 4)


def one(who: Listener, row: Any) -> float:
    whole = 0.2 * (row.music is Music.ALL)
    return _one(who, row, row.listen_bars) * _keeps(who, row, row.ones / 2) * sigma(3 + who.metre - whole)


def stopped_beat(who: Listener, row: Any) -> float:
    trap = 0.5 * row.false_fill
    return _one(who, row, row.listen_bars) * _keeps(who, row, row.listen_bars) * sigma(who.metre + 1.5 - trap)


def stopped_bar(who: Listener, row: Any) -> float:
    length = 0.5 * math.log2(row.phrase_bars / 4)
    traps = (Departure.FALSE_FILL,) if row.false_fill else ()
    return _one(who, row, row.listen_bars) * _phrase(who, row, traps, length) * _keeps(who, row, row.phrase_bars)


def turn(who: Listener, row: Any) -> float:
    lengths = 0.35 * (len(row.lengths) - 2) + 0.8 * math.log2(max(row.lengths) / 8)
    odd = 0.3 * any(each % 4 for each in row.lengths)
    window = 0.4 * (1.5 - row.window_beats) + ANYWHERE * row.cold
    return _phrase(who, row, row.traps, lengths + odd + window) * _keeps(who, row, max(row.lengths))


def intro(who: Listener, row: Any) -> float:
    hints = HINT * (Departure.TEASE in row.exceptions) + 0.5 * (Departure.PICK_UP in row.exceptions)
    signs = 0.3 * (row.signals is None) + 0.1 * (row.phrase_bars > 4)
    mean = sum(row.lengths) / len(row.lengths)
    return sigma(who.phrase + 2.5 + _help(row) - hints - signs - _tempo(row)) * _keeps(who, row, mean)


def odd_phrase(who: Listener, row: Any) -> float:
    size = 0.5 * (2 - min(abs(each) for each in row.by_bars)) + 0.2 * (len({abs(each) for each in row.by_bars}) - 1)
    answers = 0.2 * math.log2(len(row.odd) * len(row.by_bars)) + 0.3 * math.log2(row.phrase_bars / 4)
    return _phrase(who, row, (), size + answers) * _keeps(who, row, row.total_bars)


def bring_in(who: Listener, row: Any) -> float:
    few = 0.3 * (4 - row.turns) + 0.3 * math.log2(row.phrase_bars / 4)
    metre = _one(who, row, 4.0)
    hand = within(1 / 3, who.hand_s / _period_s(row))
    return metre * _phrase(who, row, tuple(row.exceptions), few) * _keeps(who, row, row.phrase_bars) * hand


def land(who: Listener, row: Any) -> float:
    last, left = max(each[0] for each in row.lengths), max(a - b for a, b in row.lengths)
    pairs = 0.3 * (len(row.lengths) - 2) + 0.3 * any(b % 4 for _, b in row.lengths[-3:] if last > 8)
    voice = 0.6 * (row.last == "chorus")
    start, length = 0.2 * (len(row.starts) > 1), 0.3 * (row.phrase_bars > 4)
    cost = pairs + voice + start + length + 0.1 * math.log2(last / 8)
    return _phrase(who, row, tuple(row.exceptions), cost) * _keeps(who, row, last + left) * _one(who, row, 4.0)


def through(who: Listener, row: Any) -> float:
    beats = 4 * row.silent_bars
    helped = 0.35 if row.help.sheet or row.voice_through else 1.0
    own = {Tapping.RETURN: 1.0, Tapping.ONES: 1.02, Tapping.BEATS: 1.04}[row.taps] * (0.6 if row.voice_through else 1)
    found = _one(who, row, sum(row.before_bars) / 2 if row.before_bars[0] > 2 else 4)
    start = sigma(who.metre + 3 - ANYWHERE * row.any_beat - 0.2 * (row.taps is not Tapping.RETURN))
    return found * start * _through(who, beats, _period_s(row), own * helped) * _keeps(who, row, row.silent_bars)


def feel(who: Listener, row: Any) -> float:
    kinds = 0.4 * (len(row.feels) - 2) + 0.3 * ("double" in row.feels)
    changes = 0.8 * row.turned + SHORTER * math.log2(4 / row.plain_bars) + 0.3 * (8 - row.bars) / 2
    busy = 0.3 * ("funk" in row.grooves) + 0.2 * any(name in FOURS for name in row.grooves)
    return sigma(who.metre + 0.8 - kinds - changes - busy - _tempo(row))


def faster(who: Listener, row: Any) -> float:
    sd = who.comparing * math.sqrt(2) * (1.4 if row.other_grooves else 1.0)
    # Logistic, near to the normal distribution (scale 1.7): it tells differences that all hear from one another.
    return math.tanh(1.7 * math.log(1 + row.gap_percent / 100) / sd / 2)


def tempo(who: Listener, row: Any) -> float:
    tapped = _mean(row, BEAT_COST, who.metre + 2.0)
    return tapped * within(row.tolerance_percent / 100, who.naming)


def drum(who: Listener, row: Any) -> float:
    near = 3.0 * (1 - row.contrast) + 2.7 * (len(row.drums) > 2) + 0.3 * (2 - row.listen_bars) - 0.6 * row.shown
    return sigma(who.timbre + 1.0 - near - 0.2 * ("clap" in row.drums))


def in_line(who: Listener, row: Any) -> float:
    asks = {Ask.SAME: 0.0, Ask.BEATS: 0.8, Ask.BARS: 2.2}[row.ask]
    kinds = 0.3 * len(row.apart) + 0.12 * abs(row.other_db) + 0.3 * (row.music is Music.ALL)
    phrase = sigma(who.phrase + 0.5 - 0.4 * math.log2(row.phrase_bars / 4)) if row.ask is Ask.BARS else 1.0
    return _one(who, row, 2.0) * sigma(who.metre + 0.5 * _help(row) + 1.0 - asks - kinds) * phrase


def before_turn(who: Listener, row: Any) -> float:
    left = row.phrase_bars - row.before_bars
    cost = 0.3 * math.log2(row.phrase_bars / 8) + 0.4 * math.log2(left / 4) + 0.1 * (len(row.starts) > 1)
    return _phrase(who, row, tuple(row.exceptions), cost) * _keeps(who, row, left) * _one(who, row, 4.0)


def outro(who: Listener, row: Any) -> float:
    breaks = 0.3 * any(name == "break" for name, _ in row.before) + 0.1 * (len(row.before) > 2)
    signs = 1.2 * (row.signals == ())
    quick = 0.4 * math.log2(4.0 / row.within_beats)
    return _phrase(who, row, tuple(row.exceptions), breaks + signs + quick - 1.0)


def find_again(who: Listener, row: Any) -> float:
    cost = 0.25 * math.log2(len(row.returns)) + 0.3 * math.log2(row.phrase_bars / 4)
    found = _one(who, row, 3.0) * _phrase(who, row, tuple(row.exceptions), cost)
    return found * _keeps(who, row, row.phrase_bars + row.more_bars)


def ahead(who: Listener, row: Any) -> float:
    # Beats that drift apart are heard the better the longer, but what was heard first fades: by the root of the time.
    apart = row.gap_percent / 100 * math.sqrt(4 * row.bars)
    return math.tanh(1.7 * apart / (2 * who.comparing))


ABILITIES: dict[str, Callable[[Listener, Any], float]] = {
    "drum": drum,
    "beat": beat,
    "one": one,
    "bring-in": bring_in,
    "stopped-beat": stopped_beat,
    "turn": turn,
    "intro": intro,
    "stopped-bar": stopped_bar,
    "in-line": in_line,
    "through": through,
    "land": land,
    "feel": feel,
    "faster": faster,
    "tempo": tempo,
    "odd-phrase": odd_phrase,
    "before-turn": before_turn,
    "outro": outro,
    "find-again": find_again,
    "ahead": ahead,
}


def difficulty(who: Listener, drill_id: str, row: Rung) -> float:
    """Logits against the listener: 0 where half is right."""
    share = min(1 - 1e-15, max(1e-15, ABILITIES[drill_id](who, row)))
    return -math.log(share / (1 - share))
