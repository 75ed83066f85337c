"""What is tried, surface by surface: a case takes a generator and a ``World``, and says what became of it.

"accepted" or "refused"; ``Fell`` where a rule does not hold. What an import accepts is then used for everything that
a logbook is for: what the border accepts can always be read, shown, exported and marked again.
"""

import csv
import json
import os
import re
import socket
import sqlite3
import sys
import tomllib
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import wait
from contextlib import closing, contextmanager, suppress
from functools import cache
from pathlib import Path
from random import Random
from types import SimpleNamespace
from typing import Any
from uuid import UUID

import numpy as np
import pytest

from tests.exercises.quiet import leave_out_drums
from tests.hostile import music
from tests.hostile.catalogues import entries, grids, playlists
from tests.hostile.recordings import recordings
from tests.hostile.values import NUMBERS, TEXTS, bytes_of, flipped, json_bytes, mutated, value
from tests.hostile.world import (
    LEARNER,
    LOGBOOK,
    NAMES,
    NOW,
    Fell,
    World,
    clean,
    draw_of,
    held,
    jsonl,
    no_hang,
    offscreen,
    rows,
    where,
)

Case = Callable[[Random, World], str]


# -- what a logbook is used for --------------------------------------------------------------------------------------


def used(draw: Random, world: World, path: Path, share: float = 1.0) -> None:
    """Everything that is done with a logbook, of what it holds: all of it must work; beyond ``share`` only some."""
    if draw.random() >= share:
        world.run("logbook", "--file", path, draw.choice(("summary", "mark-again")), status=0)
        world.run("logbook", "--file", path, "export", world.out / f"some{draw.choice(('.csv', '.jsonl'))}", status=0)
        looked_at(draw, path)
        return
    with pytest.MonkeyPatch.context() as patch:
        leave_out_drums(patch)  # no mark depends on them, and to make them takes most of the time
        _used(draw, world, path)


def _used(draw: Random, world: World, path: Path) -> None:
    here = ("logbook", "--file", path)
    held_before = rows(path)
    world.run(*here, "summary", status=0)
    json.loads(world.run(*here, "summary", "--json", status=0).out)
    for name, words in (("all.csv", ()), ("taps.csv", ("--taps",)), ("all.jsonl", ()), ("all.sqlite3", ())):
        world.run(*here, "export", *words, world.out / name, status=0)
    check_csv(world.out / "all.csv")
    check_csv(world.out / "taps.csv")
    again = world.out / "again.sqlite3"
    world.run("logbook", "--file", again, "import", world.out / draw.choice(("all.jsonl", "all.sqlite3")), status=0)
    same = rows(again)
    if same.keys() != held_before.keys():
        raise Fell("an export and its import differ")
    looked_at(draw, path)
    planned(path)
    if draw.random() < 0.25:
        for id in sorted(learners_of(path))[:3]:
            ran = world.run("report", "--file", path, f"--learner={id}", world.out / "page.pdf")
            if ran.status and "has not practised yet" not in ran.err:
                raise Fell(f"report: {ran.err[-100:]}")
    world.run(*here, "mark-again", "--dry-run", status=0)
    world.run(*here, "mark-again", status=0)
    world.run(*here, "summary", status=0)


def learners_of(path: Path) -> list[str]:
    """Ids of a logbook's learners."""
    from exercises.logbook.store import Logbook

    with held("learners"), Logbook.open(path) as logbook:
        return [each.id for each in logbook.known()]


def looked_at(draw: Random, path: Path) -> None:
    """Every page of the logbook screen: read, and now and then shown."""
    from exercises.logbook.store import Logbook

    with held("page"), Logbook.open(path) as logbook:
        from app.ui.charts.content import Question
        from app.ui.logbook.answering import read_page

        pages = [read_page(logbook, Question(name)) for name in logbook.learners()[:5]]
        for page in list(pages):
            drills = sorted({row.drill for row in page.latest})
            pages += [read_page(logbook, Question(page.question.learner, drill)) for drill in drills[-2:]]
    with held("page shown"):
        from app.ui.logbook.trials_table import TrialsModel

        offscreen()
        model = TrialsModel()
        for page in pages:
            model.show_trials(page.latest)
            for row in range(min(40, model.rowCount())):
                for column in range(model.columnCount()):
                    model.data(model.index(row, column))
    if draw.random() < 0.1:
        with held("page drawn"), unraised():
            view = the_page()
            for page in pages[:3]:
                view.show_page(page)
                while view.busy:
                    offscreen().processEvents()
                view.grab()
            view.clear()
            offscreen().processEvents()


@contextmanager
def unraised() -> Iterator[None]:
    """Raises what Qt has caught in the block: a slip in a paint event only goes to the hook."""
    slips: list[BaseException] = []
    before, sys.excepthook = sys.excepthook, lambda kind, slip, at: slips.append(slip)
    try:
        yield
    finally:
        sys.excepthook = before
    if slips:
        raise slips[0]


@cache
def the_page() -> Any:
    """The page of the logbook screen, made once."""
    from app.ui.base import theme
    from app.ui.dress import dress
    from app.ui.logbook.page_view import LogbookPage

    offscreen()
    theme.load_fonts()
    dress(theme.LIGHT)
    return LogbookPage()


def planned(path: Path) -> None:
    """Today's plan from a logbook."""
    from app.practice.plan.making_plan import make_plan
    from app.practice.plan.today import Today
    from exercises.logbook.store import Logbook

    with Logbook.open(path) as logbook:
        names = logbook.learners()[:5]
    for name in names:
        with held("plan"):
            made, told = make_plan(path, name, NOW, 10)
            json.dumps(Today(made).to_json())
        if told:
            raise Fell("plan: the logbook could not be read")


FORMULA = ("=", "+", "-", "@", "\t", "\r")
NUMBER = re.compile(r"-?\d+(\.\d+)?(e[+-]?\d+)?")


def check_csv(path: Path) -> None:
    """No cell of a table runs as a formula or holds a control character, and every row is whole."""
    with path.open(encoding="utf-8", newline="") as file:
        table = list(csv.reader(file, strict=True))
    for row in table:
        if len(row) != len(table[0]):
            raise Fell("csv: a row with another number of cells")
        for cell in row:
            if cell.startswith(FORMULA) and not NUMBER.fullmatch(cell):
                raise Fell("csv: a cell that runs")
            if not cell.isprintable():
                raise Fell("csv: a control character")


# -- imports ---------------------------------------------------------------------------------------------------------


def fresh(draw: Random, line: bytes) -> Any:
    """A line of an export as another trial's."""
    return json.loads(line) | {"uid": UUID(int=draw.getrandbits(128)).hex}


def import_lines(draw: Random, world: World) -> str:
    """JSON Lines with something wrong in them; then all of what the logbook holds is used."""
    rows = [fresh(draw, draw.choice(world.lines)) for _ in range(draw.choice((1, 1, 2, 5)))]
    at, head = draw.randrange(len(rows)), None
    chance = draw.random()
    if chance < 0.55:
        rows[at] = mutated(draw, rows[at])
    elif chance < 0.7:
        rows[at] = mutated(draw, rows[at], ("result",))
    elif chance < 0.8:
        rows[at] = mutated(draw, rows[at], ("truth",))
    elif chance < 0.9:
        head = mutated(draw, json.loads(world.head))
    data = jsonl([json_bytes(draw, row) for row in rows], head)
    if chance >= 0.9:
        data = bytes_of(draw, data)
    return imported(draw, world, world.put("other.jsonl", data))


def imported(draw: Random, world: World, source: Path) -> str:
    ran = world.run("logbook", "import", source)
    world.old_rows_hold()
    if ran.status:
        if rows(world.home / LOGBOOK).keys() != world.old.keys():
            raise Fell("import: refused, and something was added")
        if list(world.home.glob("*-before-*")):
            raise Fell("import: refused, and a copy was left")
    world.settled(LOGBOOK)
    if not ran.status and ", new: 0." not in ran.out:
        used(draw, world, world.home / LOGBOOK)
        world.settled(LOGBOOK)
    return NAMES[ran.status]


ENDLESS = "WITH RECURSIVE n(x) AS (SELECT 1 UNION ALL SELECT x + 1 FROM n) SELECT x FROM n"
TABLES = {
    "learners": ("id", "name", "key", "joined"),
    "sittings": ("id", "learner", "started"),
    "benches": ("id", "device", "calibration"),
    "trials": (
        *("id", "uid", "at", "learner", "sitting", "bench", "drill", "rung", "seed", "version", "mode", "groove"),
        *("tempo_bpm", "taps", "value", "result", "void", "simulated", "sound_s", "spent_s", "offset_min", "truth"),
        "rung_id",
    ),
    "days": (
        "learner",
        "drill",
        "mode",
        "band",
        "bench",
        "day",
        "trials",
        "voids",
        "spread_ms",
        "sound_s",
        "spent_s",
    ),
    "levels": ("learner", "drill", "last", "answers", "day", "weights"),
}
# A result's or a calibration's own values, changed within their JSON.
WITHIN = ("right", "score", "verdict", "given", "expected", "targets", "hits", "bias_ms", "spread_ms", "beat_tapped")


def literal(draw: Random) -> str:
    """A value as SQL has it."""
    chance = draw.random()
    if chance < 0.1:
        return "NULL"
    if chance < 0.25:
        return f"x'{draw.randbytes(draw.choice((0, 1, 7, 8, 16, 17, 80))).hex()}'"
    if chance < 0.5:
        return draw.choice(("9e999", "-9e999", *(repr(n) for n in NUMBERS if n == n and abs(n) < 1e300)))
    if chance < 0.55:
        return f"zeroblob({draw.choice((8, 80_000, 4_000_001, 30_000_000))})"
    if chance < 0.6:
        return f"cast(x'{draw.choice(('ff', 'c328', 'eda080', '00', '410042'))}' AS TEXT)"
    if chance < 0.7:
        return quoted(json.dumps(value(draw), ensure_ascii=True))
    return quoted(draw.choice(TEXTS))


def quoted(text: str) -> str:
    """A text as SQL has it; what is no UTF-8 is left out, and a zero byte cast."""
    data = text.encode("utf-8", "replace")
    return f"cast(x'{data.hex()}' AS TEXT)" if b"\0" in data else "'" + data.decode().replace("'", "''") + "'"


def hostile_statement(draw: Random) -> str:
    """One change to a logbook that no program would make."""
    table = draw.choice(("trials", "trials", "trials", "trials", *TABLES))
    column = draw.choice(TABLES[table])
    some = f" WHERE rowid % {draw.choice((1, 2, 9))} = 0" if table in ("trials", "benches", "sittings") else ""
    chance = draw.random()
    if chance < 0.35:
        return f"UPDATE OR REPLACE {table} SET {column} = {literal(draw)}{some}"
    if chance < 0.45:
        name = draw.choice(WITHIN)
        inner = quoted(json.dumps(value(draw)).replace("NaN", "9e999").replace("Infinity", "9e999"))
        return f"UPDATE trials SET result = json_set(result, '$.{name}', json({inner})) WHERE result IS NOT NULL"
    if chance < 0.5:
        return f"UPDATE trials SET {column if table == 'trials' else 'value'} = {draw.choice(TABLES['trials'])}"
    other = draw.choice(("learners", "trials", "benches", "sittings"))
    return draw.choice(
        (
            f"CREATE TABLE loose AS SELECT * FROM {other}; DROP TABLE {other}; ALTER TABLE loose RENAME TO {other};"
            f" UPDATE {other} SET {draw.choice(TABLES[other])} = {literal(draw)}",
            f"ALTER TABLE {other} RENAME TO hidden; CREATE VIEW {other} AS SELECT * FROM hidden",
            f"ALTER TABLE {other} RENAME TO hidden; CREATE VIEW {other} AS SELECT * FROM hidden, ({ENDLESS})",
            f"ALTER TABLE {other} RENAME TO hidden; CREATE VIRTUAL TABLE {other} USING fts5(id, uid, name, device)",
            f"ALTER TABLE {other} RENAME TO hidden; CREATE VIRTUAL TABLE {other} USING rtree(id, a, b)",
            f"ALTER TABLE {other} RENAME COLUMN {draw.choice(TABLES[other])} TO other",
            f"ALTER TABLE {other} ADD COLUMN more TEXT DEFAULT {quoted(draw.choice(TEXTS))}",
            f"ALTER TABLE {other} ADD COLUMN made TEXT AS (hex(zeroblob(1000000)))",
            f"CREATE TRIGGER more AFTER INSERT ON {other} BEGIN DELETE FROM trials; END",
            f"CREATE TRIGGER less BEFORE UPDATE ON {other} BEGIN SELECT hex(zeroblob(900000000)); END",
            f"CREATE VIEW endless AS {ENDLESS}",
            f"CREATE INDEX odd ON trials ({draw.choice(TABLES['trials'])}) WHERE length(hex(taps)) > 3",
            f"DELETE FROM {other}",
            f"DROP TABLE {draw.choice(tuple(TABLES))}",
            "DROP INDEX trials_of",
            f"PRAGMA user_version = {draw.choice((0, 1, 2, 4, 5, -1, 99))}",
            f"PRAGMA application_id = {draw.choice((0, 1, -1))}",
            "UPDATE sqlite_schema SET sql = replace(sql, 'INTEGER', 'TEXT')",
            "UPDATE sqlite_schema SET sql = replace(sql, ' STRICT', '')",
            f"UPDATE sqlite_schema SET sql = {quoted(draw.choice(TEXTS))} WHERE name = '{other}'",
            f"UPDATE sqlite_schema SET rootpage = {draw.choice((0, 1, 2, 3, 10**6))} WHERE name = '{other}'",
            "UPDATE sqlite_schema SET type = 'view' WHERE name = 'learners'",
            "INSERT INTO sqlite_schema SELECT * FROM sqlite_schema",
            f"INSERT INTO learners (name, key) VALUES ({literal(draw)}, {literal(draw)})",
            f"INSERT INTO learners (name, key) SELECT name, {quoted('f' * 32)} FROM learners LIMIT 1",
            f"INSERT INTO learners (name, key, joined) SELECT name, {quoted('e' * 32)}, id FROM learners LIMIT 1",
            f"UPDATE learners SET joined = {draw.choice(('id', 'id + 1', '7', '-1', 'id % 3'))}",
            "DROP INDEX learners_called",
            f"WITH RECURSIVE n(x) AS (SELECT 1 UNION ALL SELECT x + 1 FROM n LIMIT {draw.choice((10, 3000))})"
            " INSERT INTO learners (name, key) SELECT 'learner ' || x, lower(hex(randomblob(16))) FROM n",
            f"UPDATE trials SET result = json_set(result, '$.verdict', json({quoted(json.dumps([value(draw)]))}))",
        )
    )


def hostile_logbook(draw: Random, world: World) -> Path:
    """A whole logbook made by hand."""
    path = world.put("hand.sqlite3", world.other.read_bytes())
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        for pragma in ("ignore_check_constraints = ON", "foreign_keys = OFF", "legacy_alter_table = ON"):
            connection.execute(f"PRAGMA {pragma}")
        if draw.random() < 0.1:
            connection.execute(f"PRAGMA page_size = {draw.choice((512, 65_536))}")
            connection.execute("VACUUM")
        few = draw.choice((1, 2, 4, 10))
        connection.execute(f"DELETE FROM trials WHERE id > {few}")
        for name in ("added", "taken", "marked"):
            connection.execute(f"DROP TRIGGER trial_{name}")
        if draw.random() < 0.5:
            from exercises.logbook.schema import DAY_THERE, _triggers, statements

            again = list(statements(_triggers(DAY_THERE)))
        else:
            again = []
        connection.execute("PRAGMA writable_schema = ON")
        for _ in range(draw.choice((1, 1, 1, 2, 4))):
            for part in hostile_statement(draw).split("; "):
                with suppress(sqlite3.Error, UnicodeError):
                    connection.execute(part)
        for part in again:
            with suppress(sqlite3.Error):
                connection.execute(part)
        if draw.random() < 0.8:
            with suppress(sqlite3.Error):
                connection.execute("PRAGMA journal_mode = DELETE")
    if draw.random() < 0.1:
        path.write_bytes(flipped(draw, path.read_bytes())[0])
    if draw.random() < 0.05:
        ending = draw.choice(("-wal", "-journal", "-shm"))
        Path(f"{path}{ending}").write_bytes(draw.choice((b"", draw.randbytes(4096), world.other.read_bytes())))
    return path


def whole_logbooks(draw: Random, world: World) -> str:
    """A logbook by hand: imported, restored from, or used as it is."""
    path = hostile_logbook(draw, world)
    chance = draw.random()
    if chance < 0.5:
        return imported(draw, world, path)
    if chance < 0.75:
        before = path.read_bytes()
        ran = world.run("logbook", "restore", path)
        if path.read_bytes() != before:
            raise Fell("restore: the source has changed")
        world.settled(LOGBOOK)
        if ran.status:
            world.old_rows_hold()
        else:
            used(draw, world, world.home / LOGBOOK, share=0.4)
        return NAMES[ran.status]
    word = draw.choice(
        (("summary",), ("export", world.out / "a.csv"), ("mark-again",), ("backup", world.out / "b.sqlite3"))
    )
    ran = world.run("logbook", "--file", path, *word)
    world.settled()
    if not ran.status:
        used(draw, world, path, share=0.4)
    return NAMES[ran.status]


def flipped_bits(draw: Random, world: World) -> str:
    """The learner's own logbook, rotten in places, with a good copy beside it or without."""
    path = world.home / LOGBOOK
    data, touched = flipped(draw, path.read_bytes())
    path.write_bytes(data)
    copies = world.home / "logbook-copies"
    good = draw.random() < 0.6
    if not good:
        for each in copies.iterdir():
            each.unlink()
    word = draw.choice(
        (("summary",), ("export", world.out / "a.jsonl"), ("mark-again",), ("import", world.made / "other.jsonl"))
    )
    ran = world.run("logbook", *word)
    told = "another program" in ran.err or "newer program" in ran.err or "not a logbook" in ran.err
    if ran.status and not told:
        raise Fell(f"not mended: {ran.err[-90:].strip()}")
    if ran.status:
        if path.read_bytes() != data:
            raise Fell("refused, and changed")
        return "refused"
    now = rows(path)
    if good and sum(uid in now for uid in world.old) < len(world.old) - touched:
        raise Fell("trials that a good copy has are lost")
    used(draw, world, path, share=0.15)
    world.settled(LOGBOOK[:7])
    return "accepted"


def csv_out(draw: Random, world: World) -> str:
    """Trials whose texts run in a spreadsheet, as far as the border takes them; then the tables are read."""
    line = fresh(draw, draw.choice(world.lines))
    for name in draw.sample(("learner", "groove", "device", "drill", "value"), draw.choice((1, 2, 4))):
        line[name] = draw.choice(TEXTS)
    if line["result"] is None:
        line["void"] = draw.choice(TEXTS)
    else:
        line["result"] |= {draw.choice(("given", "expected")): draw.choice((*TEXTS, -3.5, 1e-9, -0.0))}
    source = world.put("other.jsonl", jsonl([json_bytes(draw, line)]))
    book = world.out / "new.sqlite3"
    ran = world.run("logbook", "--file", book, "import", source)
    if not ran.status:
        world.speak(draw.choice(("utf-8", "latin-1", "ascii")))
        for name, words in (("a.csv", ()), ("b.csv", ("--taps",))):
            words = (*words, f"--learner={line['learner']}") if draw.random() < 0.3 else words
            world.run("logbook", "--file", book, "export", *words, world.out / name, status=0)
            check_csv(world.out / name)
    elif book.exists():
        raise Fell("import: refused, and a new logbook was left")
    world.settled()
    return NAMES[ran.status]


# -- trials and answers ----------------------------------------------------------------------------------------------


def trial_files(draw: Random, world: World) -> str:
    """A trial's file with something wrong in it, marked with an answer that would fit."""
    trial, data = draw.choice(world.trials)
    text = (
        json_bytes(draw, mutated(draw, data)) if draw.random() < 0.75 else bytes_of(draw, json.dumps(data).encode())
    )
    path = world.put("trial.json", text)
    ran = world.run("mark", path, good_answer(world, trial), *draw.choice(((), ("--json",))))
    world.settled()
    return NAMES[ran.status]


def good_answer(world: World, trial: Any) -> object:
    """A file with the taps that are asked for, or the answer itself."""
    from exercises.trial.trial import Kind

    if trial.kind not in (Kind.TAPS, Kind.PRESS):
        return trial.expected
    lines = [f"{tap:.6f}" for tap in trial.targets_s]
    if trial.then is not Kind.NONE:
        lines.append(f"answer: {trial.expected}")
    return world.put("taps.txt", "\n".join(lines).encode())


def answers(draw: Random, world: World) -> str:
    """A good trial with taps or an answer that are none."""
    trial, data = draw.choice(world.trials)
    path = world.put("trial.json", json.dumps(data).encode())
    given = good_answer(world, trial)
    chance = draw.random()
    if isinstance(given, Path) and chance < 0.8:
        text = given.read_bytes()
        lines = text.split(b"\n")
        for _ in range(draw.choice((1, 2, 5))):
            at = draw.randrange(len(lines))
            odd = str(draw.choice((*TEXTS, *NUMBERS))).encode("utf-8", "surrogatepass")
            lines[at] = draw.choice(
                (odd, lines[at] + odd, odd + lines[at], b"answer: " + odd, lines[at] * 3, b"#" + odd)
            )
        text = b"\n".join(lines)
        if chance < 0.2:
            text = bytes_of(draw, text)
        elif chance < 0.22:
            text = draw.choice(
                (b"1" * 5_000_000, b"1\n" * 2_000_000, b"\n" * 8_000_001, b"x" * 5_000_000, b"1 " * 900_000)
            )
        given.write_bytes(text)
    elif not isinstance(given, Path) or chance < 0.9:
        given = (
            str(draw.choice((*TEXTS, *NUMBERS, value(draw)))).replace("\0", "").encode("utf-8", "replace").decode()
        )
        given = given[:100_000]
        if given.startswith("-"):
            given = "./" + given
    else:
        given.write_bytes(draw.randbytes(draw.choice((0, 1, 100, 10_000))))
    ran = world.run("mark", path, given, *draw.choice(((), ("--json",))))
    world.settled()
    return NAMES[ran.status]


# How often the whole program is started.
SHARE = 0.002


def comes_up(draw: Random, world: World) -> None:
    """Now and then the program is started with its files as they are: the window comes up and can be closed."""
    if draw.random() >= SHARE:
        return
    from app.session import open_session
    from app.ui.window import Window

    offscreen()
    the_page()
    with no_hang():
        try:
            session = open_session({})
            window = Window()
            window.take(session, welcome=not session.keeper.now.first_run_done)
            window.open_as_left(session.keeper.now)
            session.practice.plan_day()
            if (day := session.practice.day) is not None and day._coming is not None:
                wait([day._coming])
                day.poll()
            offscreen().processEvents()
            window.close()
            session.close()
            world.begin()
        except Exception as slip:
            raise Fell(f"start: {type(slip).__name__} at {where(slip)}") from slip


# -- the learner's own files -----------------------------------------------------------------------------------------


def settings(draw: Random, world: World) -> str:
    """Settings by hand: what is read can be used, kept and read again."""
    from app.learner_settings import keep_choices, learner_path, of_learner
    from app.practice.kept_wish import wish_left
    from app.settings import Settings, load, save, text_of
    from exercises.logbook.learners import Learner

    path = world.home / "settings.toml"
    lines = world.settings.split("\n")
    chance = draw.random()
    if chance < 0.75:
        for _ in range(draw.choice((1, 2, 4))):
            at = draw.randrange(len(lines))
            name = lines[at].partition(" = ")[0]
            lines[at] = draw.choice(
                (
                    f"{name} = {toml(draw)}",
                    f"{name} = {toml(draw)}",
                    f"{toml(draw)} = {toml(draw)}",
                    f"[{name}]",
                    lines[at] * 2,
                )
            )
        data = "\n".join(lines).encode("utf-8", "surrogatepass")
    else:
        data = bytes_of(draw, world.settings.encode())
    path.write_bytes(data)
    comes_up(draw, world)
    path.write_bytes(data)
    with held("settings"):
        found = load(path, NOW)
        wish_left(found.settings)
        wanted = found.settings
        save(wanted, path)
        again = load(path, NOW)
        # The same as the choices of a learner who does not practise now.
        who = Learner(1, "f" * 32, LEARNER, LEARNER)
        learner_path(path, who.id).parent.mkdir(exist_ok=True)
        learner_path(path, who.id).write_bytes(data)
        theirs = of_learner(wanted, path, who, NOW).settings
        keep_choices(theirs, path)
        if of_learner(wanted, path, who, NOW).settings != theirs:
            raise Fell("settings: choices that were kept are not read again")
    if again.messages or text_of(again.settings) != text_of(wanted):
        raise Fell("settings: kept ones are not read again as they were")
    if not all(clean(str(each)) for each in found.messages):
        raise Fell("settings: a control character in a message")
    if not isinstance(found.settings, Settings):
        raise Fell("settings: none")
    if data != path.read_bytes() and not found.messages:
        with suppress(tomllib.TOMLDecodeError, UnicodeDecodeError):
            tomllib.loads(data.decode("utf-8-sig"))
    world.settled("settings")
    return "refused" if found.messages else "accepted"


def toml(draw: Random) -> str:
    """A value as TOML has it, or nearly."""
    chosen = value(draw)
    if isinstance(chosen, float) and chosen != chosen:
        return "nan"
    if draw.random() < 0.1:
        return draw.choice(
            ("2030-05-01", "1979-05-27T07:32:00Z", "0x7fffffffffffffffff", "'''", "1__0", "inf", "{ a = 1 }")
        )
    return json.dumps(chosen, ensure_ascii=draw.random() < 0.5)[:20_000]


def plan_files(draw: Random, world: World) -> str:
    """Today's plan by hand: there is a plan, its words can be shown, and it goes on."""
    from app.practice.plan.kept_plan import keep, plan_path
    from app.practice.plan.planned import make_today
    from app.practice.plan.today import states
    from app.practice.trial.next_trial import Wish
    from app.ui.base.words import spoken
    from app.ui.practise.plan.plan_words import PlanWords

    path = world.home / LOGBOOK
    good = json.loads(world.pristine["today.json"])
    if draw.random() < 0.3:
        item = draw.choice(good["plans"][LEARNER]["items"])
        item["why"] = draw.choice(
            (
                {"say": draw.choice(TEXTS), "with": {draw.choice(TEXTS): draw.choice((*TEXTS, *NUMBERS))}},
                item["why"] | {"with": {name: value(draw) for name in item["why"].get("with", {"x": 1})}},
                {
                    "say": draw.choice(("{x:>300000000}", "{0.foo}", "{{{}}}", "{x!r}", "{x.__class__}")),
                    "with": {"x": "y"},
                },
            )
        )
    elif draw.random() < 0.7:
        good["plans"][LEARNER] = mutated(draw, good["plans"][LEARNER])
    else:
        good = mutated(draw, good)
    data = json_bytes(draw, good)
    if draw.random() < 0.2:
        data = bytes_of(draw, data)
    plan_path(path).write_bytes(data)
    comes_up(draw, world)
    plan_path(path).write_bytes(data)
    with held("plan"):
        offscreen()
        today, told = make_today(path, LEARNER, NOW, 10, True)
        words = PlanWords()
        text = [
            words.heading(today),
            words.lead(today),
            words.rest(today, ()),
            words.place(today),
            words.start(today),
        ]
        text += [f"{each.drill} {spoken(each.why)} {state}" for each, state in states(today)]
        text.append(str(today.minutes_left))
        today.wish(Wish(LEARNER))
        if not today.finished:
            today.started(1.0)
            today.done(20.0)
            today.skip()
        keep(plan_path(path), LEARNER, NOW.date(), today.to_json())
        again, more = make_today(path, LEARNER, NOW, 10, True)
    if more or again.to_json() != today.to_json():
        raise Fell("plan: a kept one is not gone on with")
    if any(len(each) > 3000 for each in text):
        raise Fell("plan: very long words")
    world.settled("today")
    return "refused" if told else "accepted"


def calibrations(draw: Random, world: World) -> str:
    """Calibrations by hand: the equipment can be used, and others kept."""
    from app.inputs.equipment import Equipment

    data: Any = mutated(draw, world.calibrations)
    raw = json_bytes(draw, data) if draw.random() < 0.75 else bytes_of(draw, json.dumps(world.calibrations).encode())
    path = world.home / "calibrations.json"
    path.write_bytes(raw)
    comes_up(draw, world)
    path.write_bytes(raw)
    player = SimpleNamespace(
        description="Invented speakers (ALSA), 48000 Hz, 80 ms", clock=SimpleNamespace(residual_ms=0.1), lag_s=0.0
    )
    with held("calibrations"):
        found = Equipment.of_this_computer(player)  # type: ignore[arg-type]
        taps: Any = [SimpleNamespace(source=source, stamped=True) for source in ("key", "midi", "mic")]
        found.names["midi"] = "Pad"
        player.on_open()
        for tap in taps:
            found.outdated(tap.source)
            if not abs(found.lag_s(tap.source)) < 1:
                raise Fell("calibrations: a lag that is none")
            found.uncertainty_ms([tap])
            json.dumps(found.for_record([tap]), allow_nan=False)
        if found.path is not None and found.kept:
            found.keep(found.kept[0])
            again = Equipment.of_this_computer(player)  # type: ignore[arg-type]
            if again.notice or again.kept[-1] != found.kept[-1]:
                raise Fell("calibrations: kept ones are not read again")
    if found.notice is not None and not clean(str(found.notice)):
        raise Fell("calibrations: a control character in the notice")
    world.settled("calibrations")
    return "refused" if found.notice else "accepted"


def grooves(draw: Random, world: World) -> str:
    """A groove with something wrong in it, read; now and then as one of the learner's own, by a command."""
    return as_music(draw, world, music.mutated_groove(np.random.default_rng(draw.getrandbits(64))))


def midi(draw: Random, world: World) -> str:
    """A MIDI file with something wrong in it, read; now and then rendered."""
    return as_music(draw, world, music.mutated_midi(np.random.default_rng(draw.getrandbits(64))))


def as_music(draw: Random, world: World, data: str | bytes) -> str:
    with held("groove" if isinstance(data, str) else "midi"):
        came = {"result": "accepted", "trouble": "refused"}[music.read(data, world.out / "mutated.mid")[0]]
    if draw.random() < 0.1 and isinstance(data, str):
        own = world.home / "grooves"
        own.mkdir()
        (own / "own.groove").write_text(data, encoding="utf-8", errors="replace", newline="")
        world.run("grooves", *draw.choice(((), ("--json",))))
        world.run("render", "--groove", "own", "--form", "intro:1", world.out / "a.mid")
    elif isinstance(data, bytes) and draw.random() < 0.1:
        world.run("render", "--groove", world.out / "mutated.mid", world.out / "a.mid")
    return came


# -- arguments and files ---------------------------------------------------------------------------------------------


def arguments(draw: Random, world: World) -> str:
    """Words that somebody might type, most of them wrong."""
    import app.ui.start

    def odd() -> str:
        text = str(draw.choice((*TEXTS, *NUMBERS, "9" * 19, "0x10", "1_000", "\u0664", "--", "-h2", "x" * 30_000)))
        return (
            text.replace("\0", "")
            .encode("utf-8", "surrogateescape" if "\udcff" in text else "replace")
            .decode("utf-8", "surrogateescape")
        )

    def one(*good: str) -> str:
        return draw.choice(good) if draw.random() < 0.6 else odd()

    out = str(world.out / "out")
    path = world.home / LOGBOOK
    forms = (
        lambda: ["drills", *([odd()] if draw.random() < 0.7 else [])],
        lambda: ["grooves", "--json", *([odd()] if draw.random() < 0.7 else [])],
        lambda: ["demo", "--weeks", draw.choice(("0", "-1", "x", "1.5", "", odd() + "x")), "--out", out],
        lambda: ["demo", "--seed", odd() + "x", "--out", out],
        lambda: ["trial", one("one", "tempo"), "--rung", one("1", "2", "99"), "--seed", one("1"), "--out", one(out)],
        lambda: ["trial", one("one"), "--tempo", one("120"), "--groove", one("backbeat"), "--out", out],
        lambda: ["mark", one(str(world.made / "none.json")), odd()],
        lambda: ["render", "--groove", one("backbeat", "waltz"), "--tempo", one("100"), "--form",
                 one("intro:1", "verse:1", "intro:99999999", "a:1," * 400, "intro:0", "intro:-4"), out + ".mid"],
        lambda: ["render", "--phrase", one("4"), "--count", one("bars"), "--form", "intro:1", one(out + ".mid", out)],
        lambda: ["render", "--kit-seed", one("3"), "--seed", one("4"), "--form", "intro:1", out + ".mid"],
        lambda: ["render", "--form", "intro:1", "--lead-in", "--count", one("bars"), "--count-for", one("1"),
                 "--voice", one("es"), "--title", one("x"), "--comment", one("y"), out + one(".mp3", ".flac")],
        lambda: ["render", "--form", "intro:1", "--title", odd(), "--comment", odd(), out + one(".mp3", ".ogg")],
        lambda: ["render", "--groove", str(music.ROOT / "tests" / "data" / "two_bars_of_drums.mid"), "--form",
                 one("intro:3"), "--channel", one("10"), "--notes", one("36=kick"), "--bar-1", one("2"),
                 out + ".mid"],
        lambda: ["logbook", one("summary", "export", "mark-again", "remark", "backup", "restore", "import"), odd()],
        lambda: ["logbook", "summary", "--learner", one(LEARNER)],
        lambda: ["logbook", "export", "--learner", one(LEARNER), one(out + ".csv", out + ".jsonl", out)],
        lambda: ["logbook", "rename", one(LEARNER, "#" + "0" * 5), odd()],
        lambda: ["logbook", draw.choice(("join", "separate")), one(LEARNER), *draw.choice(((), (odd(),)))],
        lambda: ["logbook", "import", "--as", one(LEARNER, "Ada"), one(str(world.made / "other.jsonl"))],
        lambda: ["plan", "--learner", one(LEARNER)],
        lambda: ["logbook", "delete", one("ada"), *draw.choice(((), ("--yes",)))],
        lambda: ["logbook", "--file", one(str(world.made / "none.sqlite3")), one("summary", "mark-again")],
        lambda: ["report", "--learner", one("ada"), one(out + ".pdf", out)],
        lambda: ["--drill", one("one"), "--rung", one("1"), "--seed", one("1")],
        lambda: ["--groove", one("waltz"), "--tempo", one("100")],
        lambda: [odd() for _ in range(draw.randrange(1, 5))],
        lambda: ["check", odd() + "x"],
    )  # fmt: skip
    words = draw.choice(forms)()
    if draw.random() < 0.2:
        words.insert(draw.randrange(len(words) + 1), odd())
    if draw.random() < 0.1:
        words.append(draw.choice(("--help", "--version", "--json", "--yes", "--taps", "--song", "-x", "--o")))
    window, app.ui.start.open_window = app.ui.start.open_window, lambda *_: 0
    world.speak(draw.choice(("utf-8", "utf-8", "latin-1", "ascii")))
    here = Path.cwd()
    os.chdir(world.out)
    try:
        ran = world.run(*words)
    finally:
        os.chdir(here)
        app.ui.start.open_window = window
    if path.exists():
        world.old_rows_hold(renamed=ran.status == 0 and words[:2] == ["logbook", "rename"])
    world.settled(*(("logbook",) if words[0] == "logbook" or ran.status == 0 else ()))
    return NAMES[ran.status]


# Every place where a command takes a file: its words, "*" for the name, and a name of that kind; then those
# where it is written.
READ = (
    (("mark", "*", "1.1"), "trial.json"),
    (("mark", "TRIAL", "*"), "taps.txt"),
    (("logbook", "import", "*"), "a.jsonl"),
    (("logbook", "import", "*"), "a.sqlite3"),
    (("logbook", "restore", "*"), "a.sqlite3"),
    (("logbook", "--file", "*", "summary"), "a.sqlite3"),
    (("logbook", "--file", "*", "import", "JSONL"), "a.sqlite3"),
    (("logbook", "--file", "*", "restore"), "a.sqlite3"),
    (("report", "--file", "*", "OUT.pdf"), "a.sqlite3"),
    (("render", "--groove", "*", "--form", "intro:1", "OUT.mid"), "a.mid"),
)
WRITTEN = (
    (("render", "--form", "intro:1", "*"), "a.mid"),
    (("render", "--form", "intro:1", "*"), "a.flac"),
    (("render", "--form", "intro:1", "*"), "a.mp3"),
    (("render", "--form", "intro:1", "*"), "a.ogg"),
    (("render", "--form", "intro:1", "--truth", "*", "OUT.mid"), "a.json"),
    (("render", "--form", "intro:1", "--beats", "*", "OUT.mid"), "a.txt"),
    (("logbook", "export", "*"), "a.csv"),
    (("logbook", "export", "*"), "a.jsonl"),
    (("logbook", "export", "*"), "a.sqlite3"),
    (("logbook", "backup", "*"), "a.sqlite3"),
    (("report", "--learner", LEARNER, "*"), "a.pdf"),
    (("trial", "one", "--out", "*"), "a"),
)


def filled(world: World, words: tuple[str, ...], path: str) -> list[str]:
    """The words of a command, its files put in."""
    data = next(data for trial, data in world.trials if trial.drill == "beat")
    (world.made / "trial.json").write_text(json.dumps(data))
    good = {"*": path, "TRIAL": str(world.made / "trial.json"), "JSONL": str(world.made / "other.jsonl")}
    return [good.get(word, word.replace("OUT", str(world.out / "out"))) for word in words]


def content(world: World, name: str) -> bytes:
    """What a good file of that name holds."""
    match Path(name).suffix:
        case ".jsonl":
            return (world.made / "other.jsonl").read_bytes()
        case ".sqlite3":
            return world.other.read_bytes()
        case ".json":
            return json.dumps(world.trials[0][1]).encode()
        case ".mid":
            return music.good_midi()[0]
    return b"1.0\n2.0\n"


def special(draw: Random, world: World, name: str) -> tuple[str, Path]:
    """Something of that name that is no ordinary file: its kind, and where it stands."""
    kind = draw.choice(
        (
            "pipe",
            "zero",
            "full",
            "null",
            "sparse",
            "loop",
            "chain",
            "folder",
            "socket",
            "dangling",
            "in a file",
            "proc",
        )
    )
    path = world.out / name
    match kind:
        case "pipe":
            os.mkfifo(path)
        case "zero" | "full" | "null":
            path.symlink_to(f"/dev/{kind}")
        case "sparse":
            with path.open("wb") as file:
                file.truncate(20_000_000_000)
        case "loop":
            path.symlink_to(path.name)
        case "chain":
            for number in range(60):
                (world.out / f"link{number}").symlink_to(f"link{number + 1}")
            path.symlink_to("link0")
        case "folder":
            path.mkdir()
            (path / "there").touch()
        case "socket":
            with socket.socket(socket.AF_UNIX) as made:
                here = Path.cwd()
                os.chdir(world.out)
                made.bind(name)
                os.chdir(here)
        case "dangling":
            path.symlink_to("nowhere")
        case "in a file":
            (world.out / "file").write_bytes(b"x")
            path = world.out / "file" / name
        case "proc":
            path.symlink_to(draw.choice(("/proc/self/mem", "/proc/self/pagemap", "/proc/kmsg", "/proc/self/fd/0")))
    return kind, path


def special_files(draw: Random, world: World) -> str:
    """Pipes, devices, sparse files, loops and folders where a file is expected."""
    writes = draw.random() < 0.4
    words, name = draw.choice(WRITTEN if writes else READ)
    kind, path = special(draw, world, name)
    beside = path.lstat().st_ino if os.path.lexists(path) else None
    ran = world.run(*filled(world, words, str(path)))
    fine = {"dangling", "folder"} if not writes else {"dangling", "sparse", "folder", "chain"}
    if ran.status == 0 and kind not in fine:
        raise Fell(f"{words[0]} {words[1]}: takes a {kind}")
    if ran.status == 2 and beside is not None and (not os.path.lexists(path) or path.lstat().st_ino != beside):
        raise Fell(f"{words[0]}: a {kind} is gone")
    world.settled(LOGBOOK)
    world.old_rows_hold()
    return NAMES[ran.status]


STEMS = (
    *(
        b"\xff\xfe",
        b"caf\xe9",
        b"a\xc3\x28b",
        b"\xed\xa0\x80",
        b"a\nb",
        b"\x1b[31mred",
        b"\x07",
        b"\x7f",
        b"\t",
        b" ",
    ),
    *(
        "\u202eabc".encode(),
        "\u2028".encode(),
        "e\u0301".encode(),
        "\U0001f941".encode(),
        b"=1+1",
        b"-x",
        b"~",
        b"%s",
    ),
    *(b"{x}", b"'", b'"', b"a b", b"$HOME", b"`x`", b"*", b"?x=1#y", b"\\", b"..", b".hidden", b"con", b"file:x"),
    *(b"x" * 200, b"x" * 250, b"x" * 256, b"y" * 300, b"z" * 5000, b"\xff" * 255, b"\xc3\xa9" * 124, b"d/" * 2500),
)


def names(draw: Random, world: World) -> str:
    """Names of files that are no UTF-8, too long, or hold what a terminal would obey."""
    writes = draw.random() < 0.5
    words, name = draw.choice(WRITTEN if writes else READ)
    stem = b"".join(draw.choice(STEMS) for _ in range(draw.choice((1, 1, 2))))
    path = f"{world.out}{os.sep}{os.fsdecode(stem)}{Path(name).suffix}"
    made = False
    if not writes:
        with suppress(OSError, ValueError), Path(path).open("wb") as file:
            file.write(content(world, name))
            made = True
    world.speak(draw.choice(("utf-8", "utf-8", "latin-1", "ascii")))
    ran = world.run(*filled(world, words, path))
    if made and ran.status and words[0] == "logbook" and "restore" not in words and "summary" not in words:
        raise Fell(f"{words[0]} {words[1]}: does not read it: {ran.err[-80:].strip()}")
    if writes and not ran.status and not os.path.lexists(path):
        raise Fell(f"{words[0]}: nothing was written")
    if writes:  # a name that was asked for may look like that of something half written
        with suppress(OSError, ValueError):
            Path(path).unlink()
    world.settled(LOGBOOK)
    return NAMES[ran.status]


SURFACES: dict[str, Case] = {
    "arguments": arguments,
    "trial files": trial_files,
    "taps and answers": answers,
    "JSON Lines": import_lines,
    "whole logbooks": whole_logbooks,
    "flipped bits": flipped_bits,
    "settings": settings,
    "plan": plan_files,
    "calibrations": calibrations,
    "grooves": grooves,
    "MIDI": midi,
    "recordings": recordings,
    "list of records": entries,
    "grids": grids,
    "playlists": playlists,
    "special files": special_files,
    "names": names,
    "CSV": csv_out,
}


def tried(surface: str, world: World, seed: int, cases: int) -> Counter[str]:
    """Try the first cases of a surface and seed: how many were accepted and refused. Fails where one fell."""
    outcomes: Counter[str] = Counter()
    for number in range(cases):
        world.begin()
        try:
            outcomes[SURFACES[surface](draw_of(surface, seed, number), world)] += 1
        except Fell as fell:
            pytest.fail(f"{surface}, seed {seed}, case {number}: {fell}")
    world.begin()
    return outcomes
