"""A logbook after one year and after ten: what the screens wait for, how large the file is, and sudden ends.

Ten years at 60 trials a day are 219 000 trials, with 64 taps each 14 million. The trials are invented: results of
real trials, with taps of their own, put in by the thousand. Made once a run, in about a minute.
"""

import importlib.util
import json
import sqlite3
import statistics
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID

import numpy as np

from app.demo.simulated import simulate
from exercises.drills import drills
from exercises.learner.plan import plan
from exercises.learner.stored_levels import learner_levels
from exercises.logbook.file import keep_copy
from exercises.logbook.history import practised, weeks
from exercises.logbook.opening import health, rebuilt
from exercises.logbook.store import Logbook
from exercises.logbook.transfer import export, merge
from exercises.progress.mistakes import mistakes
from exercises.progress.summary import summary
from exercises.progress.trends import trend
from exercises.trial.kept.record import TrialRecord, record
from exercises.trial.trial import Answer, Kind

BEGIN = datetime(2030, 1, 1, 18, 0, tzinfo=UTC)
TRIALS_A_DAY, TAPS_A_TRIAL = 60, 64
DRILLS_A_DAY = 5
DRAWN_DRILL = "beat"


def patterns() -> list[list[TrialRecord]]:
    """Real trials with their results, a list for each marked drill."""
    found = []
    for one in drills().values():
        if one.kind is Kind.NONE:
            continue
        rows = []
        for rung in range(1, 7):
            trial = one.make(rung, rung)
            answer = simulate("beginner" if rung % 3 else "random", trial)
            rows.append(record(trial, answer, one.mark(trial, answer), when=BEGIN, simulated=True, device="bench"))
        found.append(rows)
    return found


def years(first_day: int, days: int) -> Iterator[list[TrialRecord]]:
    """The trials of each day, ``days`` of them."""
    rng = np.random.default_rng(first_day)
    known = patterns()
    for day in range(first_day, first_day + days):
        today = [known[(day + n) % len(known)] for n in range(DRILLS_A_DAY)]
        taps_s = np.sort(rng.uniform(0, 30, (TRIALS_A_DAY, TAPS_A_TRIAL)), axis=1)
        uids = rng.bytes(16 * TRIALS_A_DAY)
        rows = []
        for n in range(TRIALS_A_DAY):
            of_drill = today[n * DRILLS_A_DAY // TRIALS_A_DAY]
            when = BEGIN + timedelta(days=day, seconds=50 * n)
            rows.append(
                replace(
                    of_drill[int(rng.integers(len(of_drill)))],
                    uid=UUID(bytes=uids[16 * n : 16 * n + 16]).hex,
                    when=when.strftime("%Y-%m-%dT%H:%M:%SZ"),
                    answer=Answer(taps_s[n]),
                    spent_s=45.0,
                )
            )
        yield rows


def fill(logbook: Logbook, first_day: int, days: int) -> None:
    """Add so many days, a hundred at a time."""
    batch: list[TrialRecord] = []
    for number, rows in enumerate(years(first_day, days), 1):
        batch += rows
        if number % 100 == 0 or number == days:
            logbook.add_all(batch)
            batch = []


def taken_ms(work: Callable[[], object], times: int = 7) -> float:
    """The median time of a piece of work."""
    taken = []
    for _ in range(times):
        begun_s = time.perf_counter()
        work()
        taken.append((time.perf_counter() - begun_s) * 1000)
    return statistics.median(taken)


def asked_by_the_screen(logbook: Logbook) -> None:
    """What the logbook screen reads when it opens: the list, the weeks, one drill's trend and mistakes."""
    logbook.trials(500)
    weeks(logbook, "me")
    practised(logbook, "me")
    trend(logbook, "me", DRAWN_DRILL, learner_levels(logbook, "me"))
    mistakes(logbook, "me", DRAWN_DRILL)


def measured(path: Path, days: int) -> dict[str, float]:
    """Milliseconds, and megabytes, of a logbook of so many days."""
    now = BEGIN + timedelta(days=days, hours=20)
    found = {}
    fresh = iter([row for rows in years(days, 1) for row in rows])
    with Logbook.open(path) as logbook:
        logbook.forget_levels()
        found["plan_anew_ms"] = taken_ms(lambda: plan(logbook, "me", now), 1)
        found["plan_ms"] = taken_ms(lambda: plan(logbook, "me", now))
        # As it is when one has practised: each trial is added, then the plan is asked for.
        found["add_ms"] = taken_ms(lambda: logbook.add(next(fresh)), 30)
        found["plan_after_30_ms"] = taken_ms(lambda: plan(logbook, "me", now), 1)
        found["screen_ms"] = taken_ms(lambda: asked_by_the_screen(logbook))
        found["summary_ms"] = taken_ms(lambda: summary(logbook, "me"), 3)
    found["open_ms"] = taken_ms(lambda: (health(path), Logbook.open(path).close()))
    found["copy_ms"] = taken_ms(lambda: keep_copy(path, path.with_name("copy.sqlite3")), 1)
    found["file_mb"] = path.stat().st_size / 1e6
    return found


def plain_import(source: Path, goal: Path) -> None:
    """The lines of an export with nothing but the standard library: parsed, and put into one table."""
    with source.open("rb") as file, closing(sqlite3.connect(goal)) as connection:
        next(file)
        rows = [tuple(map(plain, json.loads(line).values())) for line in file]
        connection.execute(f"CREATE TABLE trials ({', '.join(f'c{n}' for n in range(len(rows[0])))}, UNIQUE (c0))")
        connection.executemany(f"INSERT INTO trials VALUES ({', '.join('?' * len(rows[0]))})", rows)
        connection.commit()


def plain(value: object) -> object:
    """A value as a table takes it."""
    return json.dumps(value) if isinstance(value, list | dict) else value


def imports(path: Path) -> dict[str, dict]:
    """An import of a logbook's export against ``plain_import`` of the same file, both in turn; and a restore."""
    lines = path.with_suffix(".jsonl")
    with Logbook.open(path) as logbook:
        trials = export(logbook, lines)
    ours_s, plain_s = [], []
    for number in range(3):
        begun_s = time.process_time()
        with Logbook.open(path.with_name(f"import-{number}.sqlite3")) as logbook:
            merge(logbook, lines)
        between_s = time.process_time()
        plain_import(lines, path.with_name(f"plain-{number}.sqlite3"))
        ours_s.append(between_s - begun_s)
        plain_s.append(time.process_time() - between_s)
    ours, plainly = statistics.median(ours_s), statistics.median(plain_s)
    return {
        "import_to_plain": at_most(
            ours / plainly, None, "x", f"CPU s of {trials} trials, every field checked: {ours:.2f} to {plainly:.2f}"
        )
    }


def restored_s(path: Path) -> float:
    """CPU seconds to write a logbook anew from a copy, every row checked."""
    begun_s = time.process_time()
    with Logbook.open(path.with_name("restored.sqlite3")) as logbook, rebuilt(path) as fresh:
        logbook.take(fresh)
    return time.process_time() - begun_s


def at_most(value: float, goal: float | None, unit: str, note: str = "") -> dict:
    """One figure with its goal, or without."""
    met = None if goal is None else value <= goal
    return {
        "value": value,
        "unit": unit,
        "goal": "" if goal is None else f"at most {goal:g}",
        "met": met,
        "note": note,
    }


def figures() -> dict[str, dict]:
    """A logbook of one year and of ten, and 200 sudden ends."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "logbook.sqlite3"
        begun_s = time.perf_counter()
        with Logbook.open(path) as logbook:
            fill(logbook, 0, 365)
        one = measured(path, 365)
        imported = imports(path)
        with Logbook.open(path) as logbook:
            fill(logbook, 365, 9 * 365)
            trials = logbook.count()
        made_s = time.perf_counter() - begun_s
        ten = measured(path, 3650)
        restore_s = restored_s(path)
    told, lost = _killed(200)
    found = {
        "ten_years_trials": at_most(trials, None, "trials", f"made in {made_s:.0f} s"),
        "screen_data_ms": at_most(ten["screen_ms"], 300, "ms", "500 trials, weeks, a trend, mistakes; no painting"),
        "plan_ms": at_most(ten["plan_ms"], 50, "ms"),
        "plan_after_30_trials_ms": at_most(ten["plan_after_30_ms"], 50, "ms", "with levels brought up to date"),
        "plan_anew_ms": at_most(ten["plan_anew_ms"], None, "ms", "first after an import: levels told anew"),
        "trial_added_ms": at_most(ten["add_ms"], 15, "ms", "flush to disk included"),
        "summary_ms": at_most(ten["summary_ms"], None, "ms", "all drills"),
        "opened_ms": at_most(ten["open_ms"], None, "ms"),
        "daily_copy_ms": at_most(ten["copy_ms"], None, "ms", "in a thread of its own"),
        "file_mb": at_most(ten["file_mb"], 400, "MB"),
    }
    for name in ("screen_ms", "plan_ms", "add_ms", "open_ms", "file_mb"):
        found[f"{name.rsplit('_', 1)[0]}_ten_years_to_one"] = at_most(
            ten[name] / one[name], None, "x", f"{one[name]:.3g} to {ten[name]:.3g} {name.rsplit('_', 1)[1]}"
        )
    found |= imported
    found["restore_s"] = at_most(restore_s, None, "s", "CPU, ten years; the trials read are counted on the terminal")
    found["lost_in_200_sudden_ends"] = at_most(lost, 0, "trials", f"of {told} that were told")
    return found


def _killed(times: int) -> tuple[int, int]:
    checkout = Path(__file__).parent.parent.parent
    path = checkout / "tests" / "exercises" / "logbook" / "killing.py"
    spec = importlib.util.spec_from_file_location("killing", path)
    killing = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(killing)
    with tempfile.TemporaryDirectory() as folder:
        told: int
        lost: int
        told, lost = killing.kill_while_writing(Path(folder), checkout, times, seed=2)
        return told, lost
