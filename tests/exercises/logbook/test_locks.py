"""Another program that opens and closes the logbook takes nothing away from the one that writes it."""

import subprocess
import sys
from dataclasses import replace

from exercises.logbook.store import Logbook
from tests.exercises.trial.plain import PLAIN

READ = """
import sys
from exercises.logbook.store import Logbook
with Logbook.open(sys.argv[1]) as logbook:
    print(logbook.count())
"""


def test_a_second_opening_here_keeps_sqlites_locks(tmp_path, checkout):
    """https://www.sqlite.org/howtocorrupt.html, 2.2: to close the file anywhere in a process drops its POSIX locks.

    The window opens its logbook twice (once more in a worker that plans the day). After that another program's look
    must neither delete the write-ahead log nor miss what is in it.
    """
    path = tmp_path / "logbook.sqlite3"
    with Logbook.open(path) as window:
        window.add(replace(PLAIN, learner="one", uid="01" * 16))
        with Logbook.open(path) as worker:
            assert worker.count() == 1
        log = path.with_name(path.name + "-wal")
        before = log.stat().st_ino
        done = subprocess.run([sys.executable, "-c", READ, str(path)], cwd=checkout, capture_output=True, text=True)
        assert done.returncode == 0, done.stderr
        assert log.stat().st_ino == before
        window.add(replace(PLAIN, learner="two", uid="02" * 16))
        with Logbook.open(path) as worker:
            assert len(worker.rows("SELECT 1 FROM sittings", ())) == 2
