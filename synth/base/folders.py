"""Where the program keeps what belongs to its user."""

import os
from pathlib import Path

HOME_VARIABLE = "TALLYBAR_HOME"


def data_folder() -> Path:
    """The folder of the logbook and of the user's own grooves: ``TALLYBAR_HOME``, or the platform's own for it."""
    home = os.environ.get(HOME_VARIABLE)
    if home:
        return Path(home)
    from platformdirs import user_data_dir

    return Path(user_data_dir("tallybar", appauthor=False))
