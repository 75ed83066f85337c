"""The catalogue: one small file of JSON a recording, in a folder of the learner's data.

A file that cannot be used is set aside with a line in ``notices``; the others work. Nothing but these files is ever
written, moved or removed. ``index.json`` beside them holds what they held when they were last read, so that thousands
need not be opened at every start; it may be deleted.
"""

import os
import re
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from threading import RLock

from msgspec import DecodeError, Struct
from msgspec import json as msgspec_json

from synth.base.border import Unfit, fitted, parsed, read_bytes, shown
from synth.base.errors import Trouble
from synth.base.files import make_folder, set_aside, write_bytes
from synth.base.folders import data_folder
from synth.base.reasons import reason
from synth.base.words import Say, Template
from synth.catalogue.entry import Entry, anchors_of, entry_of, outline_of
from synth.catalogue.recording import Key, Recording
from synth.catalogue.seeking import key_of, stat_of

FOLDER = "recordings"
MOST_BYTES = 500_000
# What waits for its analysis (``synth.catalogue.queue``).
WAITING = "waiting.list"
INDEX, MOST_INDEX_BYTES = "index.json", 60_000_000
# The index is written when so many entries were not in it.
STALE = 20
NAME = re.compile(r"[0-9a-f]{32}\.json")

SET_ASIDE = Template("catalogue.set_aside", "A record's entry could not be read ({why}) and is kept as {aside}.")
NOT_SET_ASIDE = Template("catalogue.not_set_aside", "A record's entry cannot be read: {why}.")
NO_FOLDER = Template("catalogue.no_folder", "The list of records cannot be read: {why}.")
UNKNOWN = Template("catalogue.unknown", "{name}: no such record in the list.")
SEVERAL = Template("catalogue.several", "{name}: several records are called that; give more of it.")


class Indexed(Struct):
    """An entry without anchors and outline, and time and size of its file."""

    changed_ns: int
    size: int
    entry: Entry


class Catalogue:
    """The recordings of a learner's data folder, read when made; used by several threads.

    ``notices``: what could not be read, one sentence each. ``folder`` is the data folder.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self.folder = (data_folder() if folder is None else folder) / FOLDER
        self.notices: list[Say] = []
        self._lock = RLock()
        self._all: dict[str, Recording] = {}
        self._stamps: dict[str, tuple[int, int]] = {}
        self._paths: dict[str, str] = {}
        self._bytes: dict[tuple[int, str], str] = {}
        self._in_order: list[Recording] | None = None
        self.refresh()

    def refresh(self) -> bool:
        """Read what another program has changed; whether there was anything."""
        with self._lock:
            there: dict[str, tuple[int, int]] = {}
            try:
                with os.scandir(self.folder) as entries:
                    for each in entries:
                        if NAME.fullmatch(each.name):
                            with suppress(FileNotFoundError):  # gone since it was listed
                                stat = each.stat(follow_symlinks=False)
                                there[each.name[:32]] = (stat.st_mtime_ns, stat.st_size)
            except FileNotFoundError:
                pass
            except OSError as slip:
                self.notices.append(NO_FOLDER(why=reason(slip)))
                return False
            gone = (self._stamps.keys() | self._all.keys()) - there.keys()
            changed = [print for print, stamp in there.items() if self._stamps.get(print) != stamp]
            for print in gone:
                self._drop(print)
            index = self._index() if len(changed) > STALE else {}
            read = 0
            for print in changed:
                self._drop(print)
                self._stamps[print] = there[print]
                stamp, recording = index.get(print, (None, None))
                if stamp != there[print]:
                    entry, read = self._read(print), read + 1
                    recording = None if entry is None else entry.recording()
                if recording is not None:
                    self._put(recording)
            if read > STALE:
                self._write_index()
            return bool(gone or changed)

    def __len__(self) -> int:
        return len(self._all)

    def __iter__(self) -> Iterator[Recording]:
        """Every recording, in the order of their titles."""
        with self._lock:
            if self._in_order is None:  # kept: thousands take milliseconds
                self._in_order = sorted(self._all.values(), key=lambda each: (each.name.casefold(), each.print))
            return iter(self._in_order)

    def get(self, print: str) -> Recording | None:
        """The recording of an id."""
        return self._all.get(print)

    def usable(self) -> list[Recording]:
        """The recordings that drills may use and whose file is there."""
        return [each for each in self if each.usable and Path(each.path).is_file()]

    def anchors(self, print: str) -> bytes:
        """The anchors of a recording (``synth.catalogue.alignment``), empty where there are none."""
        entry = self._read(print)
        return b"" if entry is None else anchors_of(entry)

    def outline(self, print: str) -> bytes:
        """How loud a recording is over its time (``synth.catalogue.outline``), empty where that is not known."""
        entry = self._read(print)
        return b"" if entry is None else outline_of(entry)

    def keep(self, recording: Recording, anchors: bytes | None = None, outline: bytes | None = None) -> None:
        """Write a recording; its anchors and outline stay as they are unless given. Raises ``Trouble``."""
        with self._lock:
            before = None
            if (anchors is None or outline is None) and recording.print in self._all:
                before = self._read(recording.print)
            if anchors is None:
                anchors = b"" if before is None else anchors_of(before)
            if outline is None:
                outline = b"" if before is None else outline_of(before)
            make_folder(self.folder)
            path = self._file(recording.print)
            entry = entry_of(recording, anchors, outline)
            write_bytes(path, msgspec_json.format(msgspec_json.encode(entry), indent=1))
            self._drop(recording.print)
            self._put(recording)
            if (stamp := stat_of(path)) is not None:
                self._stamps[recording.print] = (stamp.changed_ns, stamp.size)

    def forget(self, print: str) -> None:
        """Take a recording out of the list; its sound is left alone. Raises ``Trouble``."""
        with self._lock:
            try:
                self._file(print).unlink(missing_ok=True)
            except OSError as slip:
                raise Trouble(NO_FOLDER(why=reason(slip))) from slip
            self._drop(print)

    def at(self, path: Path | str) -> Recording | None:
        """The recording that is known to be in a file, whether or not the file is still the same."""
        return self._all.get(self._paths.get(absolute(path), ""))

    def lists(self, path: Path) -> bool:
        """Whether a file of a recording stands there, or where a link there leads."""
        return self.at(path) is not None or self.at(path.resolve()) is not None

    def unchanged(self, path: Path | str) -> Recording | None:
        """The recording in a file that has not changed since it was analysed, by size and time alone."""
        known, now = self.at(path), stat_of(path)
        if known is None or now is None:
            return None
        then = next((each.key for each in known.files if each.path == absolute(path)), Key())
        return known if (then.size, then.changed_ns) == (now.size, now.changed_ns) else None

    def same_bytes(self, key: Key) -> Recording | None:
        """The recording of a file with the same bytes, wherever it is."""
        return self._all.get(self._bytes.get(key.content, ""))

    def find(self, name: str) -> Recording:
        """The recording of a file, an id or the beginning of one, or a title. Raises ``Trouble``."""
        with self._lock:
            if (known := self.at(name) or self.get(name)) is not None:
                return known
            if (key := key_of(name)) is not None and (known := self.same_bytes(key)) is not None:
                return known
            wanted = name.casefold()
            found = [each for each in self._all.values() if len(name) >= 4 and each.print.startswith(wanted)]
            found = found or [each for each in self._all.values() if each.name.casefold() == wanted]
        if len(found) != 1:
            raise Trouble((SEVERAL if found else UNKNOWN)(name=shown(name)))
        return found[0]

    # --- within

    def _file(self, print: str) -> Path:
        return self.folder / f"{print}.json"

    def _read(self, print: str) -> Entry | None:
        """The entry of an id; what cannot be used is set aside."""
        path = self._file(print)
        try:
            entry = fitted(parsed(read_bytes(path, MOST_BYTES)), Entry)
            entry.recording()
            anchors_of(entry)
            outline_of(entry)
            if entry.print != print:
                raise Unfit("'print': the name of the file expected")
        except Unfit as slip:
            try:
                self.notices.append(SET_ASIDE(why=str(slip), aside=shown(set_aside(path).name)))
            except OSError as error:
                self.notices.append(NOT_SET_ASIDE(why=reason(error)))
            return None
        except Trouble as trouble:
            self.notices.append(NOT_SET_ASIDE(why=trouble.says))
            return None
        return entry

    def _index(self) -> dict[str, tuple[tuple[int, int], Recording]]:
        """The index: stamps and recordings; empty where it cannot be used."""
        try:
            data = read_bytes(self.folder / INDEX, MOST_INDEX_BYTES)
            rows = msgspec_json.decode(data, type=list[Indexed])
            return {each.entry.print: ((each.changed_ns, each.size), each.entry.recording()) for each in rows}
        except (Trouble, Unfit, DecodeError, RecursionError, UnicodeError):
            return {}

    def _write_index(self) -> None:
        rows = [Indexed(*self._stamps[each.print], entry_of(each)) for each in self._all.values()]
        with suppress(Trouble):
            write_bytes(self.folder / INDEX, msgspec_json.encode(rows))

    def _put(self, recording: Recording) -> None:
        self._in_order = None
        self._all[recording.print] = recording
        for each in recording.files:
            if each.path:
                self._paths[each.path] = recording.print
            if each.key.ends:
                self._bytes.setdefault(each.key.content, recording.print)

    def _drop(self, print: str) -> None:
        self._stamps.pop(print, None)
        self._in_order = None
        if (known := self._all.pop(print, None)) is None:
            return
        for each in known.files:
            if self._paths.get(each.path) == print:
                del self._paths[each.path]
            if self._bytes.get(each.key.content) == print:
                del self._bytes[each.key.content]


def absolute(path: Path | str) -> str:
    """The path from the root, as the catalogue keeps it; links stay links."""
    return os.path.abspath(path)  # noqa: PTH100
