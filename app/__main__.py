"""``python -m app`` is the command ``tallybar``."""

import sys

from app.commands import main

sys.exit(main())
