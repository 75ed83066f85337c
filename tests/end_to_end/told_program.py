"""The real program, telling whoever watches where it stands: ``... told_program shown.jsonl --drill beat``.

A hand that only counts seconds loses its place as soon as the computer is slower than it thought. Here the window
writes a line of JSON to the file named whenever the practise screen has been drawn anew, as a person would see it.
Nothing is replaced and nothing is asked in between, so time and memory stay those of ``python -m app``.
"""

import faulthandler
import json
import os
import signal
import sys
from pathlib import Path

from synth.sound.pool import POOL


def main(shown_to: Path, words: list[str]) -> int:
    """Run the program with these words, and write what it shows to a file."""
    faulthandler.register(signal.SIGUSR1)  # whoever waits in vain asks where the program stands
    # How memory is given back is set for this process, which is measured; it would make the one that renders slow.
    for name in [name for name in os.environ if name.startswith("MALLOC_")]:
        del os.environ[name]

    import app.ui.window
    from app.cli.commands import main as run

    class ToldWindow(app.ui.window.Window):
        """Tells what the practise screen shows as soon as it has been drawn."""

        def take(self, *words, **more) -> None:
            super().take(*words, **more)
            draw = self.contents.practise.redraw

            def redraw() -> None:
                draw()
                with shown_to.open("a") as file:
                    file.write(json.dumps(shown(self)) + "\n")

            self.contents.practise.redraw = redraw
            redraw()

    app.ui.window.Window = ToldWindow
    return run(words)


def memory_mb(practice) -> float:
    """Resident size without the kits of the pool, which is bounded, and without the sounds in hand.

    Those are of the trial, of the one prepared and of what is heard again: 15 MB or none, as they happen to be there.
    """
    resident = int(Path("/proc/self/statm").read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE")
    held = []
    if (attempt := practice.attempt) is not None:
        made = None if attempt.replaying is None else attempt.replaying._made
        held += [attempt.samples, *([] if made is None else [made.samples])]
    coming = practice.ahead._coming
    if coming is not None and coming.done() and not coming.cancelled() and coming.exception() is None:
        held.append(coming.result().samples)
    whole = [each if each.base is None else each.base for each in held]
    sounds = {id(each): each.nbytes for each in whole}
    return (resident - POOL.nbytes - sum(sounds.values())) / 1e6


def shown(window) -> dict:
    """Where the practice stands: its phase, the trial by its seed, what comes next, and what is said.

    ``targets_s`` are the moments at which what is to be tapped is heard, while it sounds.
    """
    practice = window.session.practice
    sounds = practice.phase.value == "sounding" and practice.trial is not None and practice.player.playing
    start_s = practice.player.heard_start_s() if sounds else 0.0
    return {
        "targets_s": [start_s + at_s for at_s in practice.trial.targets_s.tolist()] if sounds else [],
        "memory_mb": memory_mb(practice),
        "phase": practice.phase.value,
        "seed": None if practice.trial is None else practice.trial.seed,
        "rung": None if practice.trial is None else practice.trial.rung,
        "drill": practice.next_wish.drill,
        "at_plan": practice.at_plan,
        "said": " ".join(map(str, practice.notices)),
    }


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), sys.argv[2:]))
