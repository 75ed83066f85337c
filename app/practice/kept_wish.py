"""The choice by hand as the settings keep it."""

from contextlib import suppress
from dataclasses import replace
from typing import Any

from app.practice.plan.placing import first_of_all
from app.practice.trial.next_trial import Wish
from app.settings import Settings
from exercises.drills import drills
from exercises.forms.rungs import pick_rung
from exercises.trial.modes import Mode
from synth.base.errors import Trouble
from synth.score.grooves import groove as find_groove
from synth.score.metre import check_tempo


def kept_wish(wish: Wish) -> dict[str, Any]:
    """The settings that keep a choice by hand."""
    return {
        "drill": wish.drill,
        "rung": wish.rung or 0,
        "groove": wish.groove or "",
        "mode": wish.mode.value,
        "record": wish.record,
        "kit_family": wish.kit_family or "",
        "tempo_bpm": wish.tempo_bpm or 0.0,
    }


def wish_left(settings: Settings) -> Wish:
    """The choices kept at the last closing; the first drill if they no longer exist."""
    wish = Wish(first_of_all().drill, way=settings.way, mode=Mode(settings.mode))
    if settings.drill not in drills():
        return wish
    wish = replace(wish, drill=settings.drill)
    with suppress(Trouble, ValueError):
        if settings.rung:
            pick_rung(drills()[settings.drill].rungs, settings.rung, settings.drill)
        if settings.groove:
            find_groove(settings.groove)
        tempo_bpm = check_tempo(settings.tempo_bpm) if settings.tempo_bpm else None
        return replace(
            wish,
            rung=settings.rung or None,
            groove=settings.groove or None,
            tempo_bpm=tempo_bpm,
            kit_family=settings.kit_family or None,
            record=settings.record,
        )
    return wish
