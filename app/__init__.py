"""The window and the commands. Qt lives in this package alone."""

import os

# Before numpy is imported. The matrices are small: more threads only wait for each other, at full load.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


def version() -> str:
    """The program's version, from the installed package or, in a checkout, from pyproject.toml."""
    from importlib import metadata  # imported here: before it, Ctrl-C could not be noted

    try:
        return metadata.version("tallybar")
    except metadata.PackageNotFoundError:
        import tomllib
        from pathlib import Path

        text = (Path(__file__).parents[1] / "pyproject.toml").read_text(encoding="utf-8")
        return str(tomllib.loads(text)["project"]["version"])
