"""``python -m app`` is the command ``tallybar``."""

import sys

from app.cli.commands import main

sys.exit(main())
