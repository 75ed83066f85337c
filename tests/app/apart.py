"""A call in a process of its own, where nothing of the program is loaded yet."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

CHECKOUT = Path(__file__).parent.parent.parent


def apart(module: str, name: str, *arguments: str | int, **env: str) -> Any:
    """What a function gives, through JSON; ``env`` is added to the environment."""
    code = f"import json; from {module} import {name}; print(json.dumps({name}(*{arguments!r})))"
    whole = os.environ | env
    whole.pop("PYTHONDONTWRITEBYTECODE", None)  # a user's second start finds the program compiled
    ran = subprocess.run(
        [sys.executable, "-c", code], cwd=CHECKOUT, env=whole, capture_output=True, text=True, check=True
    )
    return json.loads(ran.stdout.splitlines()[-1])
