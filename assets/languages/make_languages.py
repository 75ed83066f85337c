"""Makes the language tables: collects every text of the window, keeps what is translated, compiles the rest away.

    python assets/languages/make_languages.py          # collect, compile, list what is missing (exit status 1)

Qt's ``lupdate`` reads the texts of ``app`` (``self.tr``, ``QT_TRANSLATE_NOOP``) into ``tallybar_es.ts`` and keeps
the translations that are there; ``lrelease`` compiles ``tallybar_es.qm``, which the program loads. Sentences that are
data (``Template`` constants, titles of the grooves) go in by way of a source file written for the purpose. Translate
in the .ts file, by hand or with Qt Linguist, and take ``type="unfinished"`` away from what is done.
"""

import hashlib
import importlib
import pkgutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
LANGUAGES = ("es",)
# Texts for the command line, which stays in English, and names that nobody sees translated.
SILENT = (
    "app.demo.demo",
    "app.cli.commands",
    "app.cli.logbook_commands",
    "app.demo.invented",
    "exercises.logbook.old_trials.remark",
    "synth.base.words",
)


def modules() -> Iterator[str]:
    """Names of the modules whose sentences reach the window."""
    for room in (importlib.import_module(name) for name in ("app", "exercises", "synth")):
        for found in pkgutil.walk_packages(room.__path__, f"{room.__name__}."):
            if found.name not in SILENT and not found.name.endswith("__main__"):
                yield found.name


def sentences() -> Iterator[tuple[str, str]]:
    """Context and text of everything that is data: the rooms' sentences, the grooves' titles."""
    if str(ROOT) not in sys.path:
        sys.path.insert(0, str(ROOT))
    from synth.score.grooves import grooves

    templates = importlib.import_module("synth.base.words").templates
    for name in modules():
        yield from (("say", each.text) for each in templates(importlib.import_module(name)))
    yield from (("groove", groove.title) for groove in grooves().values())


def table(language: str) -> Path:
    """The table of a language, to be translated."""
    return HERE / f"tallybar_{language}.ts"


def collect(ts: Path, language: str) -> None:
    """Bring a table up to date: new texts are unfinished, old ones keep their translation, vanished ones go."""
    with tempfile.TemporaryDirectory() as folder:
        data = Path(folder) / "sentences.py"
        lines = dict.fromkeys(f"QT_TRANSLATE_NOOP({_quoted(about)}, {_quoted(text)})" for about, text in sentences())
        data.write_text("\n".join(lines) + "\n", encoding="utf-8")
        sources = sorted(str(file) for file in (ROOT / "app").rglob("*.py"))
        _qt("lupdate", "-silent", "-no-obsolete", "-locations", "none", "-source-language", "en_GB")(
            "-target-language", language, *sources, str(data), "-ts", str(ts)
        )


def compile_table(ts: Path, qm: Path) -> None:
    """Compile a table; texts that are unfinished stay English."""
    _qt("lrelease", "-silent")(str(ts), "-qm", str(qm))


def messages(ts: Path) -> Iterator[tuple[str, str, str, bool]]:
    """Context, source, translation, and whether it is finished, of every text of a table."""
    for context in ET.parse(ts).getroot().iter("context"):
        name = context.findtext("name") or ""
        for message in context.iter("message"):
            told = message.find("translation")
            text = "" if told is None else told.text or ""
            yield name, message.findtext("source") or "", text, told is not None and told.get("type") is None


def _quoted(text: str) -> str:
    """A text as ``lupdate`` reads it: it knows few escapes, and no single quotes around double ones."""
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n") + '"'


def _qt(tool: str, *options: str):  # type: ignore[no-untyped-def]
    """One of PySide6's own tools, to be called with the rest of its words."""
    import PySide6

    name = Path(PySide6.__file__).parent / (f"{tool}.exe" if sys.platform == "win32" else tool)

    def run(*words: str) -> None:
        subprocess.run([str(name), *options, *words], check=True)

    return run


def digests() -> str:
    """A line for each compiled table: its SHA-256 and its name, by which the program knows that it is whole."""
    tables = (table(language).with_suffix(".qm") for language in LANGUAGES)
    return "".join(f"{hashlib.sha256(qm.read_bytes()).hexdigest()}  {qm.name}\n" for qm in tables)


def main() -> int:
    """Collect, compile, note the digests, list what is missing."""
    missing = 0
    for language in LANGUAGES:
        ts = table(language)
        collect(ts, language)
        compile_table(ts, ts.with_suffix(".qm"))
        for about, source, _, finished in messages(ts):
            if not finished:
                print(f"{language}: {about}: {source}")
                missing += 1
    (HERE / "sha256.txt").write_text(digests(), encoding="ascii")
    return 1 if missing else 0


if __name__ == "__main__":
    sys.exit(main())
