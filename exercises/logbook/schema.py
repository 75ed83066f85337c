"""The tables of the logbook, one migration script a version.

``benches`` holds each device and calibration once. Taps are little-endian float64. The indices serve the list
(newest first) and the trends (one drill of one learner over time).

``days`` sums the trials of a day, one row for each learner, drill, mode, tempo band and bench, maintained by
triggers: ten years of practice are some ten thousand short rows. Its indices cover the queries for weeks and for the
list of drills. Days are local: ``offset_min`` is the local offset from UTC in minutes (0 for trials from before
version 3). ``truth`` is the trial's own (``exercises.trial.kept.truth``), NULL for trials from before version 4 until
they are filled in (``missing_truths.py``) and for those that cannot be made any more. ``rung_id`` names the rung
whatever its number is by now (NULL: unknown); before schema version 5 it followed from the number. ``levels`` caches
the levels computed from the trials up to row ``last``; it may be cleared. ``recording`` is the print of the
learner's recording that was heard, as its truth says, NULL for the program's own sound; from schema version 7 on
``days`` keeps the two apart.

A learner's ``key`` stands for the learner whatever the name. One from before schema version 6 has that of the first
trial, so that every copy of a logbook gives the same one. ``joined`` is the learner whose trials are those of both;
the sitting of a trial keeps whose it was.
"""

import sqlite3
from collections.abc import Callable, Iterable, Iterator
from contextlib import closing
from functools import lru_cache

from exercises.forms.old_rungs import OLD

# Application id of a logbook of this program ("TALY").
APPLICATION_ID = 0x54414C59

# Edges of the tempo bands in BPM. Stored in ``days``: changing them takes a new schema version.
BAND_EDGES_BPM = (100, 120, 140)

NO_TRIGGERS = "DROP TRIGGER trial_added; DROP TRIGGER trial_taken; DROP TRIGGER trial_marked;"


def _sums(row: str) -> dict[str, str]:
    """Column of ``days`` -> what one trial adds to it."""
    # With fewer than half of the targets hit, the taps followed something else: ignore their spread.
    hits, targets = (f"json_extract({row}.result, '$.{name}')" for name in ("hits", "targets"))
    spread, bias = (
        f"iif(2 * {hits} >= {targets}, json_extract({row}.result, '$.{name}'), NULL)"
        for name in ("spread_ms", "bias_ms")
    )
    right = f"json_extract({row}.result, '$.right')"
    return {
        "trials": f"({row}.void IS NULL)",
        "voids": f"({row}.void IS NOT NULL)",
        "asked": f"({right} IS NOT NULL)",
        "rights": f"ifnull({right}, 0)",
        "spreads": f"({spread} IS NOT NULL)",
        "spread_ms": f"ifnull({spread}, 0.0)",
        "spread_ms2": f"ifnull({spread} * {spread}, 0.0)",
        "biases": f"({bias} IS NOT NULL)",
        "bias_ms": f"ifnull({bias}, 0.0)",
        "bias_ms2": f"ifnull({bias} * {bias}, 0.0)",
        "rungs": f"iif({row}.void IS NULL, {row}.rung, 0)",
        "sound_s": f"{row}.sound_s",
        "spent_s": f"{row}.spent_s",
    }


# A trial's day up to version 2, and from version 3 on.
DAY_UTC, DAY_THERE = "substr({row}.at, 1, 10)", "date({row}.at, {row}.offset_min || ' minutes')"


def _key(row: str, day: str, *, apart: bool) -> dict[str, str]:
    """Column of ``days`` -> its value for a trial; ``apart``: those with a recording, from version 7 on."""
    band = " + ".join(f"({row}.tempo_bpm >= {edge})" for edge in BAND_EDGES_BPM)
    recorded = {"recorded": f"({row}.recording IS NOT NULL)"} if apart else {}
    return {
        "learner": f"{row}.learner",
        "drill": f"{row}.drill",
        "mode": f"{row}.mode",
        "band": band,
        "bench": f"{row}.bench",
        "day": day.format(row=row),
        **recorded,
    }


def _added(row: str, day: str, *, apart: bool) -> str:
    key, sums = _key(row, day, apart=apart), _sums(row)
    columns, values = ", ".join([*key, *sums]), ", ".join([*key.values(), *sums.values()])
    more = ", ".join(f"{name} = {name} + excluded.{name}" for name in sums)
    return f"INSERT INTO days ({columns}) VALUES ({values}) ON CONFLICT DO UPDATE SET {more};"


def _taken(row: str, day: str, *, apart: bool) -> str:
    where = " AND ".join(f"{name} = {value}" for name, value in _key(row, day, apart=apart).items())
    less = ", ".join(f"{name} = {name} - {value}" for name, value in _sums(row).items())
    return f"UPDATE days SET {less} WHERE {where}; DELETE FROM days WHERE {where} AND trials + voids = 0;"


def _days(name: str, *, apart: bool = False) -> str:
    """The table ``days``; ``apart``: with a column for recordings, from version 7 on."""
    recorded, key = ("recorded INTEGER NOT NULL,", ", recorded") if apart else ("", "")
    return f"""
    CREATE TABLE {name} (
        learner INTEGER NOT NULL REFERENCES learners ON DELETE CASCADE,
        drill TEXT NOT NULL,
        mode TEXT NOT NULL,
        band INTEGER NOT NULL,
        bench INTEGER NOT NULL,
        day TEXT NOT NULL,
        {recorded}
        trials INTEGER NOT NULL,
        voids INTEGER NOT NULL,
        asked INTEGER NOT NULL,
        rights INTEGER NOT NULL,
        spreads INTEGER NOT NULL,
        spread_ms REAL NOT NULL,
        spread_ms2 REAL NOT NULL,
        biases INTEGER NOT NULL,
        bias_ms REAL NOT NULL,
        bias_ms2 REAL NOT NULL,
        rungs INTEGER NOT NULL,
        sound_s REAL NOT NULL,
        spent_s REAL NOT NULL,
        PRIMARY KEY (learner, drill, mode, band, bench, day{key})
    ) STRICT, WITHOUT ROWID;
    """


def _triggers(day: str, *, apart: bool = False) -> str:
    added, taken = _added("NEW", day, apart=apart), _taken("OLD", day, apart=apart)
    return f"""
    CREATE TRIGGER trial_added AFTER INSERT ON trials BEGIN {added} END;
    CREATE TRIGGER trial_taken AFTER DELETE ON trials BEGIN {taken} END;
    CREATE TRIGGER trial_marked AFTER UPDATE OF result, void ON trials BEGIN {taken} {added} END;
    """


def _old_ids() -> str:
    return " ".join(
        f"WHEN '{drill} {number}' THEN '{id}'"
        for drill, rows in OLD.items()
        for number, (id, _) in enumerate(rows, 1)
    )


VERSIONS = (
    """
    CREATE TABLE learners (
        id INTEGER PRIMARY KEY,
        name TEXT NOT NULL UNIQUE
    ) STRICT;
    CREATE TABLE sittings (
        id INTEGER PRIMARY KEY,
        learner INTEGER NOT NULL REFERENCES learners ON DELETE CASCADE,
        started TEXT NOT NULL
    ) STRICT;
    CREATE INDEX sittings_of ON sittings (learner);
    CREATE TABLE benches (
        id INTEGER PRIMARY KEY,
        device TEXT NOT NULL,
        calibration TEXT NOT NULL,
        UNIQUE (device, calibration)
    ) STRICT;
    CREATE TABLE trials (
        id INTEGER PRIMARY KEY,
        uid BLOB NOT NULL UNIQUE,
        at TEXT NOT NULL,
        learner INTEGER NOT NULL REFERENCES learners ON DELETE CASCADE,
        sitting INTEGER REFERENCES sittings ON DELETE SET NULL,
        bench INTEGER NOT NULL REFERENCES benches,
        drill TEXT NOT NULL,
        rung INTEGER NOT NULL,
        seed INTEGER NOT NULL,
        version INTEGER NOT NULL,
        mode TEXT NOT NULL,
        groove TEXT NOT NULL,
        tempo_bpm REAL NOT NULL,
        taps BLOB NOT NULL,
        value TEXT NOT NULL,
        result TEXT,
        void TEXT,
        simulated INTEGER NOT NULL,
        CHECK ((result IS NULL) = (void IS NOT NULL))
    ) STRICT;
    CREATE INDEX trials_of ON trials (learner, drill, at);
    CREATE INDEX trials_in ON trials (sitting);
    """,
    f"""
    ALTER TABLE trials ADD COLUMN sound_s REAL NOT NULL DEFAULT 0;
    ALTER TABLE trials ADD COLUMN spent_s REAL NOT NULL DEFAULT 0;
    CREATE INDEX trials_by ON trials (learner, at);
    CREATE INDEX trials_invented ON trials (learner) WHERE simulated = 1;
    {_days("days")}
    CREATE INDEX days_by ON days (learner, day, trials, voids, spent_s, sound_s);
    CREATE INDEX days_in ON days (learner, drill, day, trials, voids, spent_s);
    INSERT INTO days SELECT {", ".join(_key("t", DAY_UTC, apart=False).values())},
        {", ".join(f"sum({value})" for value in _sums("t").values())} FROM trials AS t GROUP BY 1, 2, 3, 4, 5, 6;
    {_triggers(DAY_UTC)}
    CREATE TABLE levels (
        learner INTEGER NOT NULL REFERENCES learners ON DELETE CASCADE,
        drill TEXT NOT NULL,
        last INTEGER NOT NULL,
        answers INTEGER NOT NULL,
        day REAL NOT NULL,
        weights BLOB NOT NULL,
        PRIMARY KEY (learner, drill)
    ) STRICT, WITHOUT ROWID;
    """,
    f"""
    ALTER TABLE trials ADD COLUMN offset_min INTEGER NOT NULL DEFAULT 0;
    {NO_TRIGGERS}
    {_triggers(DAY_THERE)}
    """,
    """
    ALTER TABLE trials ADD COLUMN truth TEXT;
    CREATE INDEX trials_untold ON trials (version, id) WHERE truth IS NULL;
    """,
    f"""
    ALTER TABLE trials ADD COLUMN rung_id TEXT;
    UPDATE trials SET rung_id = CASE drill || ' ' || rung {_old_ids()} END;
    DELETE FROM levels;
    """,
    """
    CREATE TABLE new_learners (
        id INTEGER PRIMARY KEY,
        key TEXT NOT NULL UNIQUE,
        name TEXT NOT NULL,
        joined INTEGER REFERENCES learners ON DELETE CASCADE
    ) STRICT;
    INSERT INTO new_learners SELECT id, lower(hex(ifnull((
        SELECT uid FROM trials
        WHERE id = (SELECT min(id) FROM trials WHERE learner = learners.id) AND length(uid) = 16
    ), randomblob(16)))), name, NULL FROM learners;
    DROP TABLE learners;
    ALTER TABLE new_learners RENAME TO learners;
    CREATE INDEX learners_called ON learners (name);
    CREATE INDEX learners_joined ON learners (joined) WHERE joined IS NOT NULL;
    """,
    f"""
    ALTER TABLE trials ADD COLUMN recording TEXT;
    {NO_TRIGGERS}
    {_days("new_days", apart=True)}
    INSERT INTO new_days SELECT learner, drill, mode, band, bench, day, 0, trials, voids, asked, rights, spreads,
        spread_ms, spread_ms2, biases, bias_ms, bias_ms2, rungs, sound_s, spent_s FROM days;
    DROP TABLE days;
    ALTER TABLE new_days RENAME TO days;
    CREATE INDEX days_by ON days (learner, day, trials, voids, spent_s, sound_s);
    CREATE INDEX days_in ON days (learner, drill, day, recorded, trials, voids, spent_s);
    {_triggers(DAY_THERE, apart=True)}
    """,
)
SCHEMA_VERSION = len(VERSIONS)
# The one from which on learners have ids.
WITH_IDS = 6

# The sums of all trials, as a row of ``days`` has them: to fill the table, or to hold it against what it says.
SUMMED = f"""
    SELECT {", ".join(_key("t", DAY_THERE, apart=True).values())},
        {", ".join(f"sum({value})" for value in _sums("t").values())}
    FROM trials AS t GROUP BY 1, 2, 3, 4, 5, 6, 7
"""
# Those of its columns that are whole, and so are the same however they were summed up.
TALLIES = (
    "learner",
    "drill",
    "mode",
    "band",
    "bench",
    "day",
    "recorded",
    "trials",
    "voids",
    "asked",
    "rights",
    "rungs",
)

SHAPE = "SELECT type, name, tbl_name, sql FROM sqlite_schema WHERE name NOT LIKE 'sqlite_%'"


def sum_up(execute: Callable[[str, tuple[object, ...]], object]) -> None:
    """Fill the table of days anew, and empty the cache of levels."""
    for statement in ("DELETE FROM days", f"INSERT INTO days {SUMMED}", "DELETE FROM levels"):
        execute(statement, ())


@lru_cache
def shape(version: int) -> frozenset[tuple[str, ...]]:
    """The schema of a logbook of that version, white space folded."""
    with closing(sqlite3.connect(":memory:")) as empty:
        for script in VERSIONS[:version]:
            empty.executescript(script)
        return folded(empty.execute(SHAPE))


def folded(rows: Iterable[tuple[object, ...]]) -> frozenset[tuple[str, ...]]:
    """Rows of ``SHAPE`` with white space folded."""
    return frozenset(tuple(" ".join(str(each).split()) for each in row) for row in rows)


def statements(script: str) -> Iterator[str]:
    """Split a script into statements, a trigger being one."""
    statement = ""
    for part in script.split(";"):
        statement += part + ";"
        if sqlite3.complete_statement(statement):
            if statement.strip(" ;\n"):
                yield statement
            statement = ""
