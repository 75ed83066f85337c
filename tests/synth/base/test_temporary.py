"""Temporary folders: gone after the block, and after a kill with the next start."""

import os
import signal
import subprocess
import sys
import tempfile

from synth.base import temporary
from synth.base.temporary import sweep, temporary_folder


def test_a_folder_lasts_as_long_as_its_block(tmp_path, monkeypatch):
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    with temporary_folder() as folder:
        (folder / "inside").write_text("x")
        sweep()
        assert (folder / "inside").exists()
    assert list(tmp_path.iterdir()) == []


def test_what_a_killed_process_left_is_swept(tmp_path, monkeypatch):
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    (tmp_path / f"{temporary.PREFIX}of-somebody").mkdir()  # without our mark it is not ours to delete
    code = (
        "from synth.base.temporary import temporary_folder\n"
        "with temporary_folder() as folder:\n"
        "    print(folder, flush=True)\n"
        "    input()\n"
    )
    environment = os.environ | {"TMPDIR": str(tmp_path)}
    with subprocess.Popen(
        [sys.executable, "-c", code], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=environment
    ) as process:
        left = process.stdout.readline().strip()
        sweep()
        assert os.path.isdir(left)  # noqa: PTH112
        process.send_signal(signal.SIGKILL)
    sweep()
    assert not os.path.exists(left)  # noqa: PTH110
    assert [each.name for each in tmp_path.iterdir()] == [f"{temporary.PREFIX}of-somebody"]
