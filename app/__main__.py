"""``python -m app`` is the command ``tallybar``."""

import sys

from app.ctrl_c import note


def run() -> int:
    """Run the command; Ctrl-C is noted before anything large is imported."""
    note()
    from app.cli.commands import main

    return main()


if __name__ == "__main__":
    sys.exit(run())
