"""The table of Spanish texts, and what tells a text that was left in English."""

import importlib.util
import re
from pathlib import Path

import assets

# What Spanish writes as English does: names of styles and units, keys, figures, and words the trade has taken over.
SAME = {
    "Plan",
    "{n} BPM", "Esc", "Tempo", "{hits} de {targets}", "{n} %", "Backbeat", "H", "X", "E", "F2", "P", "S", "F", "C",
    "O", "Shuffle", "Hip-hop",
    "Disco", "Funk", "Electro", "Techno", "Dembow", "Deep house", "Afro house", "Drum and bass", "Two-step", "Crash",
    "Soul", "BPM", " BPM", "T", "K", "M", "Q", "0 ms", "Tallybar {version}, Python {python}, {system}.", "MIDI",
    "Ctrl+B", "Ctrl+G", "Ctrl+P", "Intro", "intro, intros", "break, breaks, drop, drops",
}  # fmt: skip
# Words that no Spanish sentence has. The trade's own may be quoted beside the Spanish one.
ENGLISH = re.compile(
    r"\b(the|and|of|you|your|with|is|are|was|were|bar|bars|beats|phrase|phrases|trial|trials|kick|snare|clap|hats?|"
    r"turn|turns|tap|taps|rung|rungs|drill|drills|sheet|early|late|not|for|from|on|in|to|it)\b",
    re.IGNORECASE,
)
QUOTED = re.compile(r"«[^»]*»")


def _load(path: Path):
    spec = importlib.util.spec_from_file_location("make_languages", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


make_languages = _load(assets.path("languages", "make_languages.py"))
SPANISH = list(make_languages.messages(make_languages.table("es")))
