"""The window and the commands. Qt lives in this package alone."""

from importlib import metadata


def version() -> str:
    """The program's version, from the installed package or, in a checkout, from pyproject.toml."""
    try:
        return metadata.version("tallybar")
    except metadata.PackageNotFoundError:
        import tomllib
        from pathlib import Path

        text = (Path(__file__).parents[1] / "pyproject.toml").read_text(encoding="utf-8")
        return str(tomllib.loads(text)["project"]["version"])
