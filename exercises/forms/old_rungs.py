"""Rungs as versions 2 and 3 of the trials numbered them: which rung of today each is, and the columns that differ.

Frozen: with it an old number finds its rung, and the truth of an old trial can still be made.
"""

from dataclasses import replace
from typing import Any

from exercises.forms.rungs import Music, R, pick_rung
from exercises.trial.trial import Help
from synth.base.errors import Trouble

# The last version without ids.
LAST = 3
# Drill -> by number, from 1: the id of the rung that came of it, and its columns of then.
OLD: dict[str, tuple[tuple[str, dict[str, Any]], ...]] = {
    "count-along": (
        ("kick-and-snare", {}),
        ("all-drums", {}),
        ("kick-on-every-beat", {}),
        ("eight-bars", {}),
        ("voice-stops", {}),
        ("early-or-late", {}),
        ("half-time", {}),
        ("odd-metres", {}),
        ("sixteen-bars", {}),
    ),
    "drum": (
        ("kick-or-snare", {}),
        ("kick-or-clap", {}),
        ("more-alike", {}),
        ("much-alike", {}),
        ("four-hats", {}),
        ("four-tambourine", {}),
        ("four-conga", {}),
        ("four-cowbell", {}),
        ("alike-as-can-be", {}),
    ),
    "beat": (
        ("spoken", {}),
        ("taking-turns", {}),
        ("bare", {}),
        ("fast-bass", {}),
        ("shuffle", {}),
        ("slow-chords", {}),
        ("no-kick", {}),
        ("holes", {}),
        ("odd-metres", {}),
    ),
    "one": (
        ("spoken", {"signals": None}),
        ("sheet", {"signals": None}),
        ("bare", {"signals": None}),
        ("kick-on-every-beat", {"help": Help(sheet=True, voice=False, voice_beats=None), "signals": None}),
        ("bass", {"tempo_bpm": (112, 130), "signals": None}),
        ("early-or-late", {"signals": None}),
        ("half-time", {"signals": None}),
        (
            "any-pattern",
            {
                "grooves": (
                    "backbeat",
                    "soul",
                    "straight-eights",
                    "shuffle",
                    "four-on-the-floor",
                    "disco",
                    "deep-house",
                    "latin-house",
                    "afro-house",
                    "dry-four",
                    "broken-beat",
                    "electro",
                    "chopped-break",
                    "two-step",
                    "half-time",
                    "trap",
                    "half-step",
                ),
                "listen_bars": 3,
                "signals": None,
            },
        ),
        (
            "one-bar",
            {
                "grooves": (
                    "backbeat",
                    "soul",
                    "straight-eights",
                    "shuffle",
                    "four-on-the-floor",
                    "disco",
                    "deep-house",
                    "latin-house",
                    "afro-house",
                    "dry-four",
                    "broken-beat",
                    "electro",
                    "chopped-break",
                    "two-step",
                    "half-time",
                    "trap",
                    "half-step",
                ),
                "signals": None,
            },
        ),
        ("alike", {"signals": None}),
    ),
    "bring-in": (
        ("spoken", {"signals": ("fill", "crash")}),
        ("sheet", {"signals": ("fill", "crash")}),
        ("kick-on-every-beat", {"signals": ("fill", "crash")}),
        ("two-turns", {"signals": None}),
        ("eight-bars", {"signals": None}),
        ("false-fill", {"signals": None}),
        ("silent-turn", {"signals": None}),
        ("next-turn", {"signals": None}),
        ("six-bar-phrase", {"signals": None}),
    ),
    "stopped-beat": (
        ("spoken", {}),
        ("one-bar-spoken", {}),
        ("bare", {"grooves": ("backbeat", "soul", "straight-eights", "shuffle", "funk")}),
        ("kick-on-every-beat", {}),
        (
            "early-or-late",
            {"tempo_bpm": (120, 132), "grooves": ("broken-beat", "electro", "chopped-break", "two-step")},
        ),
        (
            "false-fill",
            {
                "grooves": (
                    "backbeat",
                    "soul",
                    "straight-eights",
                    "shuffle",
                    "funk",
                    "broken-beat",
                    "electro",
                    "chopped-break",
                    "two-step",
                )
            },
        ),
        ("half-time", {"tempo_bpm": (120, 144), "grooves": ("half-time", "trap", "half-step")}),
        ("odd-metres", {}),
        ("fast", {}),
        ("alike", {}),
    ),
    "turn": (
        (
            "spoken",
            {
                "lengths": (4,),
                "total_bars": 22,
                "signals": ("fill", "crash"),
                "window_beats": 2.0,
                "heard_traps": False,
            },
        ),
        ("signs", {"total_bars": 28, "signals": ("fill", "crash"), "window_beats": 2.0, "heard_traps": False}),
        ("signs", {"tempo_bpm": (118, 128), "total_bars": 28, "window_beats": 2.0, "heard_traps": False}),
        ("false-fill", {"total_bars": 28, "signals": ("fill", "crash"), "window_beats": 2.0, "heard_traps": False}),
        (
            "six-too",
            {
                "lengths": (4, 8),
                "total_bars": 30,
                "signals": None,
                "cold": True,
                "window_beats": 2.0,
                "heard_traps": False,
            },
        ),
        (
            "sixteen",
            {"total_bars": 50, "signals": ("fill", "crash"), "traps": (), "window_beats": 1.5, "heard_traps": False},
        ),
        (
            "false-turn",
            {"total_bars": 50, "traps": ("false fill", "false turn"), "window_beats": 1.5, "heard_traps": False},
        ),
        ("silent", {"total_bars": 50, "heard_traps": False}),
        ("all", {"heard_traps": False}),
    ),
    "intro": (
        ("spoken", {"tempo_bpm": (118, 126), "lengths": (4, 8), "any_tempo": False}),
        ("bare", {"tempo_bpm": (118, 128), "lengths": (4, 8, 12), "any_tempo": False}),
        ("more-lengths", {"tempo_bpm": (118, 130), "lengths": (4, 8, 12, 16), "any_tempo": False}),
        ("any-sign", {"tempo_bpm": (120, 130), "phrase_bars": 8, "lengths": (8, 16, 24), "any_tempo": False}),
        ("any-sign", {"tempo_bpm": (120, 132), "lengths": (8, 12, 16, 20, 24), "any_tempo": False}),
        ("hints", {"tempo_bpm": (122, 134), "lengths": (16, 24, 32), "any_tempo": False}),
        (
            "two-off",
            {"tempo_bpm": (120, 132), "phrase_bars": 4, "lengths": (6, 8, 10, 12, 14, 16, 18), "any_tempo": False},
        ),
        (
            "odd",
            {"tempo_bpm": (120, 134), "phrase_bars": 4, "lengths": (7, 8, 9, 12, 15, 16, 17), "any_tempo": False},
        ),
        (
            "any-length",
            {"tempo_bpm": (122, 138), "lengths": (8, 10, 12, 14, 15, 16, 17, 18, 20, 24, 30, 32), "any_tempo": False},
        ),
    ),
    "stopped-bar": (
        ("spoken", {}),
        ("two-bars-spoken", {}),
        ("bare", {}),
        ("kick-on-every-beat", {}),
        ("eight-bars", {}),
        ("early-or-late", {}),
        ("false-fill", {}),
        ("half-time", {}),
        ("sixteen-bars", {}),
        ("alike", {}),
    ),
    "in-line": (
        ("spoken", {}),
        ("kick-below", {}),
        ("any-beats", {}),
        ("beats", {}),
        ("half-bar", {}),
        ("softer", {}),
        ("bars", {}),
        ("bars-of-eight", {}),
        ("bars-in-music", {}),
    ),
    "through": (
        (
            "spoken",
            {
                "tempo_bpm": (92, 108),
                "before_bars": (4, 7),
                "back_beats": 0,
                "alone": False,
                "after_beats": None,
                "signals": ("fill", "crash"),
                "any_tempo": False,
            },
        ),
        (
            "sheet",
            {
                "tempo_bpm": (92, 116),
                "back_beats": 0,
                "alone": False,
                "signals": ("fill", "crash"),
                "any_tempo": False,
            },
        ),
        (
            "kick-on-every-beat",
            {
                "tempo_bpm": (116, 126),
                "back_beats": 0,
                "alone": False,
                "signals": ("fill", "crash"),
                "any_tempo": False,
            },
        ),
        (
            "bare",
            {
                "tempo_bpm": (92, 126),
                "back_beats": 0,
                "alone": False,
                "signals": ("fill", "crash"),
                "any_tempo": False,
            },
        ),
        (
            "four-bars",
            {
                "tempo_bpm": (100, 126),
                "back_beats": 0,
                "alone": False,
                "signals": ("fill", "crash"),
                "any_tempo": False,
            },
        ),
        ("ones", {"any_beat": False, "back_beats": 0, "alone": False, "signals": ("fill", "crash")}),
        ("any-beat", {"back_beats": 0, "alone": False, "signals": ("fill", "crash")}),
        ("beats", {"any_beat": False, "back_beats": 0, "alone": False, "signals": ("fill", "crash")}),
        (
            "any-beat",
            {
                "tempo_bpm": (104, 134),
                "grooves": (
                    "backbeat",
                    "soul",
                    "straight-eights",
                    "shuffle",
                    "four-on-the-floor",
                    "disco",
                    "deep-house",
                    "latin-house",
                    "afro-house",
                    "dry-four",
                    "broken-beat",
                    "electro",
                    "chopped-break",
                    "two-step",
                ),
                "music": Music.ALL,
                "silent_bars": 8,
                "back_beats": 0,
                "alone": False,
                "signals": ("fill", "crash"),
            },
        ),
        ("return-of-eight", {"back_beats": 0, "alone": False, "signals": ("fill", "crash"), "any_tempo": False}),
        ("alike", {"back_beats": 0, "alone": False, "signals": ("fill", "crash")}),
    ),
    "land": (
        ("spoken", {"tempo_bpm": (120, 126), "lengths": ((8, 8),), "any_tempo": False}),
        ("half-as-long", {"tempo_bpm": (120, 126), "lengths": ((8, 4), (8, 8)), "any_tempo": False}),
        ("sheet", {"lengths": ((16, 8), (8, 8), (8, 4))}),
        ("bare", {"lengths": ((16, 8), (8, 8), (8, 4))}),
        ("chorus", {}),
        ("eight-bar-phrases", {}),
        ("false-fill", {}),
        ("odd-intros", {}),
    ),
    "feel": (
        ("half", {}),
        ("double", {}),
        ("three", {}),
        ("more-patterns", {}),
        ("two-bars-before", {}),
        ("busier", {}),
        ("pattern-changes", {}),
        ("busier-changes", {}),
        ("short-and-changes", {}),
    ),
    "faster": (
        ("by-25", {}),
        ("by-18", {}),
        ("by-13", {}),
        ("by-10", {}),
        ("by-8", {}),
        ("other-pattern", {}),
        ("by-6", {}),
        ("by-4", {}),
        ("by-3", {}),
        ("by-2", {}),
    ),
    "tempo": (
        ("within-12", {"tempo_bpm": (80, 150)}),
        ("within-10", {"tempo_bpm": (78, 154)}),
        ("taking-turns", {"tempo_bpm": (78, 154)}),
        ("within-8", {"tempo_bpm": (76, 158)}),
        (
            "within-6",
            {
                "tempo_bpm": (76, 158),
                "grooves": (
                    "four-on-the-floor",
                    "disco",
                    "deep-house",
                    "latin-house",
                    "afro-house",
                    "dry-four",
                    "backbeat",
                    "soul",
                    "straight-eights",
                    "shuffle",
                ),
            },
        ),
        ("busier", {"tempo_bpm": (74, 162), "tolerance_percent": 6}),
        ("within-5", {"tempo_bpm": (72, 166)}),
        ("within-4", {"tempo_bpm": (70, 172)}),
        ("within-4", {"tolerance_percent": 3}),
    ),
    "odd-phrase": (
        ("spoken", {"tempo_bpm": (118, 126), "by_bars": (4,), "signals": ("fill", "crash")}),
        ("two-bars", {"signals": ("fill", "crash")}),
        ("four-phrases", {"signals": ("fill", "crash")}),
        ("first-too", {"signals": ("fill", "crash")}),
        ("one-bar", {"signals": ("fill", "crash")}),
        ("no-crash", {}),
        ("eight-bars", {}),
        ("one-bar-of-eight", {}),
        ("any-groove", {}),
    ),
}


def id_of(drill: str, rungs: tuple[R, ...], number: int, version: int) -> str | None:
    """Id of the rung that a version had under a number; None where it had none."""
    if version > LAST or drill not in OLD:
        return rungs[number - 1].id if 1 <= number <= len(rungs) else None
    return OLD[drill][number - 1][0] if 1 <= number <= len(OLD[drill]) else None


def row_of(drill: str, rungs: tuple[R, ...], number: int, version: int) -> R:
    """A rung as a version had it, as far as the making and marking of its trials goes. ``Trouble`` for none."""
    if version > LAST or drill not in OLD:
        return pick_rung(rungs, number, drill)
    if not 1 <= number <= len(OLD[drill]):
        raise Trouble(f"{drill} had rungs 1 to {len(OLD[drill])}, not {number}.")
    id, columns = OLD[drill][number - 1]
    return replace(next(each for each in rungs if each.id == id), **columns)
