"""The logbook as a file: header checks, migration, copies, and SQLite's errors as ``Trouble``."""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from threading import Lock

from exercises.logbook.schema import APPLICATION_ID, SCHEMA_VERSION, VERSIONS, WITH_IDS, statements
from synth.base.border import open_file, shown
from synth.base.errors import Trouble
from synth.base.files import make_folder, replace_with, same
from synth.base.folders import FILE_MODE, is_private
from synth.base.reasons import reason
from synth.base.words import Template

# SQLite's file header (https://www.sqlite.org/fileformat2.html, section 1.3), big-endian: text at 0, page size at
# 16, change counter at 24, size in pages at 28, user version at 60, application id at 68, and at 92 the change
# counter for which the size is valid.
MAGIC = b"SQLite format 3\0"
# The largest file that is imported or restored, of either form. Ten years of daily practice take some 280 MB.
MOST_IMPORT_BYTES = 4_000_000_000
# Files that SQLite keeps beside the database while it is open, and after a crash.
BESIDE = ("-wal", "-shm")

NOT_READ = Template("logbook.not_read", "{path}: the logbook cannot be read ({why}).")
NOT_WRITABLE = Template("logbook.not_writable", "{path}: the logbook may not be written; practice would not be kept.")
NO_FOLDER = Template("logbook.no_folder", "{path}: the logbook's folder cannot be made ({why}).")
A_FOLDER = Template("logbook.a_folder", "{path}: a folder, where the logbook's file should be.")
NO_FILE = Template("logbook.no_file", "{path}: not a file, where the logbook should be.")
NO_LOGBOOK = Template("logbook.none", "{path}: this is not a logbook; it was left as it is.")
OTHER = Template("logbook.other", "{path}: this is another program's database; it was left as it is.")
IN_USE = Template("opening.in_use", "{path}: another program writes the logbook. Close that program and try again.")
NEWER = Template(
    "logbook.newer",
    "{path}: this logbook has version {version}, this program knows versions up to {known}. It was left as it is:"
    " start a newer program with it.",
)
HELD = Template(
    "logbook.held",
    "{path}: another program holds the logbook. Everything kept so far is still there. Close "
    "that program and try again.",
)
# A damaged file: SQLite's own errors, and what Python makes of a message of SQLite's that is no UTF-8.
BROKEN = (sqlite3.Error, UnicodeDecodeError)
# What SQLite's errors mean, by their code; one that is not here is a bug of ours.
REFUSED = Template("logbook.refused", "{path}: the logbook could not be used ({why}).")
REASONS = {
    sqlite3.SQLITE_BUSY: HELD,
    sqlite3.SQLITE_LOCKED: HELD,
    sqlite3.SQLITE_FULL: Template(
        "logbook.disk_full", "{path}: the disk is full. Everything kept so far is still there."
    ),
    sqlite3.SQLITE_READONLY: Template(
        "logbook.read_only", "{path}: the logbook may not be written. Everything kept so far is still there."
    ),
    sqlite3.SQLITE_CANTOPEN: Template(
        "logbook.not_opened", "{path}: the logbook cannot be opened or made here; is the folder read-only?"
    ),
    sqlite3.SQLITE_IOERR: Template("logbook.disk_refused", "{path}: the disk refused ({why})."),
    sqlite3.SQLITE_CORRUPT: Template(
        "logbook.damaged", "{path}: the logbook is damaged. Start the program again to have it mended from a copy."
    ),
    sqlite3.SQLITE_NOTADB: NO_LOGBOOK,
}


def suspect(path: Path) -> Path:
    """Marker file beside a logbook that could not be read completely: the next start checks every page."""
    return path.with_name(path.name + "-suspect")


def unknown_format(path: Path) -> bool:
    """Whether a database's header names formats that no SQLite writes (bytes 18 and 19: 1 or 2)."""
    with path.open("rb") as file:
        head = file.read(20)
    return head.startswith(MAGIC) and not {*head[18:20]} <= {1, 2}


def cut_off(path: Path) -> bool:
    """Whether a database file is shorter than its header says."""
    with path.open("rb") as file:
        head = file.read(100)
    if len(head) < 100 or not head.startswith(MAGIC):
        return False
    page = int.from_bytes(head[16:18], "big")
    bytes_said = int.from_bytes(head[28:32], "big") * (65_536 if page == 1 else page)
    return head[24:28] == head[92:96] and path.stat().st_size < bytes_said


def keep_copy(path: Path, copy: Path) -> None:
    """Copy the logbook to one file by SQLite's online backup, consistent even while windows write.

    https://www.sqlite.org/backup.html. Raises ``Trouble`` where it cannot be read or written, or ``copy`` is the
    logbook itself; nothing half written remains.
    """
    if same(copy, path):
        raise Trouble(f"{copy}: this is the logbook itself")
    with (
        sqlite_trouble(path),
        replace_with(copy) as beside,
        closing(sqlite3.connect(path)) as source,
        closing(sqlite3.connect(beside)) as target,
    ):
        source.backup(target)
        # Without this the first reader of the copy would leave a write-ahead log beside it.
        target.execute("PRAGMA journal_mode = DELETE")


def copy_with_log(path: Path, goal: Path, most_bytes: int | None = None) -> None:
    """Copy a file and its write-ahead log, if it has one, neither of which need be writable.

    ``Trouble`` if one is not an ordinary file, is larger than ``most_bytes``, cannot be copied, or changes meanwhile.
    """
    log = path.with_name(f"{path.name}-wal")
    before = _times(path, log)
    try:
        for source in (path, log):
            if source is path or log.exists():
                copy = goal.with_name(goal.name + source.name.removeprefix(path.name))
                with open_file(source, most_bytes) as file, copy.open("xb") as target:
                    shutil.copyfileobj(file, target, 1 << 20)
    except OSError as slip:
        raise Trouble(NOT_READ(path=path, why=reason(slip))) from slip
    if _times(path, log) != before:
        raise Trouble(IN_USE(path=path))


def _times(*paths: Path) -> list[tuple[int, int]]:
    return [((found := each.stat()).st_mtime_ns, found.st_size) for each in paths if each.exists()]


def forget(connection: sqlite3.Connection, learners: Iterable[tuple[str, str]]) -> None:
    """Delete learners, names and ids, from an open file of any version so that no data of them can be recovered.

    A file from before learners had ids has them by their first trial, or by name where they have none.
    """
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA secure_delete = ON")
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    of = "(SELECT lower(hex(uid)) FROM trials WHERE learner = learners.id ORDER BY id LIMIT 1)"
    which = "key = ?2 AND ?1 = ?1" if version >= WITH_IDS else f"ifnull({of} = ?2, name = ?1)"
    connection.executemany(f"DELETE FROM learners WHERE {which}", learners)
    connection.execute("DELETE FROM benches WHERE id NOT IN (SELECT bench FROM trials)")
    connection.execute("VACUUM")
    connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def make_place(path: Path) -> None:
    """The folder of a logbook and, among the learner's own files, an empty file that nobody else may read."""
    try:
        if is_private(path):
            make_folder(path.parent)
            with suppress(FileExistsError):
                os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, FILE_MODE))
        else:
            path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as slip:
        raise Trouble(NO_FOLDER(path=path.parent, why=reason(slip))) from slip


_held: Counter[Path] = Counter()
_holding = Lock()


def hold(path: Path) -> Path:
    """Run ``check_header`` and register that this process is about to open the file; returns the key for ``let_go``.

    A file that is already open here is not read again: when a process closes any descriptor of a file, POSIX drops
    all its locks, SQLite's too (https://www.sqlite.org/howtocorrupt.html, section 2.2). Another program would then
    delete the write-ahead log as a leftover, and the latest data with it.
    """
    key = Path(os.path.realpath(path))
    with _holding:
        if not _held[key]:
            check_header(path)
        _held[key] += 1
    return key


def let_go(key: Path) -> None:
    """Register that the file has been closed once."""
    with _holding:
        _held[key] -= 1


def check_header(path: Path) -> None:
    """Refuse a file that is not a logbook of ours before SQLite opens and changes it. Raises ``Trouble``.

    Not for a file that this process has open: see ``hold``.
    """
    if path.is_dir():
        raise Trouble(A_FOLDER(path=path))
    if path.exists() and not path.is_file():
        raise Trouble(NO_FILE(path=path))
    try:
        with open_file(path) as file:
            head = file.read(100)
    except Trouble as slip:
        if isinstance(slip.__cause__, FileNotFoundError):
            return
        why = slip.__cause__
        raise (Trouble(NOT_READ(path=path, why=reason(why))) if isinstance(why, OSError) else slip) from slip
    if not head:
        return
    if len(head) < 100 or not head.startswith(MAGIC):
        raise Trouble(NO_LOGBOOK(path=path))
    version, application = int.from_bytes(head[60:64], "big"), int.from_bytes(head[68:72], "big")
    if application not in (0, APPLICATION_ID) or (application == 0 and version):
        raise Trouble(OTHER(path=path))
    _check_version(version, path)


def _check_version(version: int, path: Path) -> None:
    if version > SCHEMA_VERSION:
        raise Trouble(NEWER(path=path, version=version, known=SCHEMA_VERSION))


def prepare(connection: sqlite3.Connection, path: Path) -> None:
    """Configure the connection and migrate the tables to the current version."""
    # Off while tables are replaced (https://www.sqlite.org/lang_altertable.html, section 7), on afterwards.
    connection.execute("PRAGMA foreign_keys = OFF")
    connection.execute("PRAGMA synchronous = FULL")
    version = int(connection.execute("PRAGMA user_version").fetchone()[0])
    _check_version(version, path)  # again: the write-ahead log may hold a newer version
    if version == 0 and connection.execute("SELECT 1 FROM sqlite_schema").fetchone():
        raise Trouble(OTHER(path=path))
    _write_ahead(connection)
    if version < SCHEMA_VERSION:
        connection.execute("BEGIN IMMEDIATE")
        try:
            # Another window may have migrated meanwhile.
            version = int(connection.execute("PRAGMA user_version").fetchone()[0])
            if 0 < version < SCHEMA_VERSION:
                keep_copy(path, path.with_name(f"{path.stem}-before-version-{SCHEMA_VERSION}{path.suffix}"))
            for script in VERSIONS[version:]:
                for statement in statements(script):
                    connection.execute(statement)
            connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            connection.execute(f"PRAGMA user_version = {SCHEMA_VERSION}")
            connection.execute("COMMIT")
        except BaseException:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            raise
    connection.execute("PRAGMA foreign_keys = ON")


def _write_ahead(connection: sqlite3.Connection) -> None:
    """Switch to a write-ahead log, which a file restored from a copy lacks; a busy file may wait for it."""
    try:
        connection.execute("PRAGMA journal_mode = WAL")
    except sqlite3.OperationalError as slip:
        if slip.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY:
            raise


@contextmanager
def sqlite_trouble(path: Path) -> Iterator[None]:
    """Turn SQLite's errors into ``Trouble``: one line with what happened and what was kept."""
    try:
        yield
    except BROKEN as slip:
        if isinstance(slip, sqlite3.ProgrammingError):
            raise  # a wrong call is a bug, and keeps its trace
        # Python gives no code where a text is not UTF-8; a statement of the program fails on a wrong schema alone.
        code = getattr(slip, "sqlite_errorcode", sqlite3.SQLITE_CORRUPT) & 0xFF
        if code in (sqlite3.SQLITE_ERROR, sqlite3.SQLITE_FORMAT):
            code = sqlite3.SQLITE_CORRUPT
        if code == sqlite3.SQLITE_CORRUPT:
            with suppress(OSError):
                suspect(path).touch()
        reason = REASONS.get(code, REFUSED)
        raise Trouble(reason(path=path, **{"why": shown(slip)} if "{why}" in reason.text else {})) from slip
