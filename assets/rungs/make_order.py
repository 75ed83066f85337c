"""Makes order.json, the rungs in the order of their difficulty: ``python -m assets.rungs.make_order``.

Drill -> id of the rung -> difficulty in logits for the listeners of ``assets.rungs.listener``, in the order of their
mean. The rows of a drill stand in this order (``tests/exercises/test_rungs.py``); to be made again after a change of
rungs or listeners.
"""

import json
from pathlib import Path

from assets.rungs.listener import LISTENERS, difficulty
from exercises.drills import marked_drills

TABLE = Path(__file__).with_name("order.json")


def table() -> dict[str, dict[str, list[float]]]:
    """The table."""
    found = {}
    for one in marked_drills():
        rows = {row.id: [round(difficulty(who, one.id, row), 3) for who in LISTENERS] for row in one.rungs}
        found[one.id] = dict(sorted(rows.items(), key=lambda row: sum(row[1])))
    return found


def main() -> None:
    """Write the table."""
    lines = [
        f' "{drill}": {{\n' + ",\n".join(f'  "{id}": {json.dumps(hard)}' for id, hard in rows.items()) + "\n }"
        for drill, rows in table().items()
    ]
    TABLE.write_text("{\n" + ",\n".join(lines) + "\n}\n", encoding="utf-8")


if __name__ == "__main__":
    main()
