"""Learners who are added, renamed, made one, and made two again.

``join`` leads the trials of one learner to another and keeps whose they were in their sittings, so that ``separate``
can lead them back at any time; trials from after that stay with the other. Trials that come in later under the id of
a joined learner go to the other one, too.
"""

from __future__ import annotations

from collections.abc import Iterable
from uuid import uuid4

from exercises.logbook.learners import WHOLE, Known, Learner, good_name, learners, one_of, row_number
from exercises.logbook.schema import sum_up
from exercises.logbook.store import Logbook
from synth.base.errors import Trouble


def learner(logbook: Logbook, asked: str) -> Learner:
    """The learner with an id, label or name; ``Trouble`` for an unknown one, or a name that several have."""
    return one_of(logbook.known(), asked)


def add(logbook: Logbook, name: str) -> Learner:
    """A new learner, even where others have the name; ``Trouble`` for a name that cannot be one."""
    id = uuid4().hex
    with logbook.writing() as execute:
        execute("INSERT INTO learners (key, name) VALUES (?, ?)", (id, good_name(name)))
    return learner(logbook, id)


def add_all(logbook: Logbook, known: Iterable[Known], *, joined: bool = False) -> None:
    """Make these learners known, each once, though they have no trials yet; and, with ``joined``, joined as there.

    The latter in a logbook without trials alone.
    """
    known = list(known)
    with logbook.writing() as execute:
        for each in known:
            logbook.learner_row(each.name, each.id, uuid4().hex)
        for each in known if joined else ():
            if each.id is None or each.joined is None:
                continue
            own, to = (row_number(logbook.rows, id) for id in (each.id, each.joined))
            if own != to and to is not None:  # no circles
                execute("UPDATE learners SET joined = ? WHERE id = ?", (to, own))


def rename(logbook: Logbook, who: Learner, name: str) -> Learner:
    """Give a learner another name; ``Trouble`` for one that cannot be one."""
    with logbook.writing() as execute:
        execute("UPDATE learners SET name = ? WHERE id = ?", (good_name(name), who.number))
    return learner(logbook, who.id)


def join(logbook: Logbook, one: Learner, other: Learner) -> int:
    """Make two learners one, the other; returns how many trials went over. ``Trouble`` for one and the same."""
    if one.number == other.number:
        raise Trouble(f"{one.label}: two different learners are needed.")
    with logbook.writing() as execute:
        # A trial without a sitting gets one, which keeps whose it was.
        alone = "FROM trials WHERE learner = ? AND sitting IS NULL"
        (first,) = execute(f"SELECT min(at) {alone}", (one.number,)).fetchone()
        if first is not None:
            made = execute("INSERT INTO sittings (learner, started) VALUES (?, ?)", (one.number, first)).lastrowid
            execute("UPDATE trials SET sitting = ? WHERE learner = ? AND sitting IS NULL", (made, one.number))
        execute("UPDATE learners SET joined = ? WHERE id = ?", (other.number, one.number))
        moved = execute("UPDATE trials SET learner = ? WHERE learner = ?", (other.number, one.number)).rowcount
        sum_up(execute)
    return moved


def joined(logbook: Logbook) -> list[Learner]:
    """The learners that are joined to others."""
    return learners(logbook.rows, joined=True)


def separate(logbook: Logbook, who: Learner) -> int:
    """Undo ``join``: give a joined learner their trials back; returns how many."""
    with logbook.writing() as execute:
        other = row_number(logbook.rows, who.id)
        execute("UPDATE learners SET joined = NULL WHERE id = ?", (who.number,))
        moved = execute(
            "UPDATE trials SET learner = ? WHERE learner = ? AND sitting IN"
            f" (SELECT id FROM sittings WHERE learner IN ({WHOLE}))",
            (who.number, other, who.number),
        ).rowcount
        sum_up(execute)
    return moved


def whole(logbook: Logbook, who: Learner) -> list[tuple[str, str]]:
    """Names and ids of a learner and of those joined to them."""
    rows = logbook.rows(f"SELECT name, key FROM learners WHERE id IN ({WHOLE}) ORDER BY id", (who.number,))
    return [(str(name), str(id)) for name, id in rows]
