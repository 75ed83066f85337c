"""Files, folders and playlists as files."""

import pytest

from synth.base.errors import Trouble
from synth.catalogue import gathering
from synth.catalogue.gathering import gathered


def test_folders_and_lists_become_their_sounds_each_once(tmp_path):
    for name in ("b/2.MP3", "b/1.flac", "a.wav", "b/cover.jpg", "b/.hidden.mp3", ".away/3.mp3", "list.m3u8"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text("a.wav\ngone.mp3\n" if name.endswith("m3u8") else "")
    (tmp_path / "b" / "round").symlink_to(tmp_path)
    found = [str(each.relative_to(tmp_path)) for each in gathered([tmp_path, tmp_path / "list.m3u8"])]
    assert found == ["a.wav", "b/1.flac", "b/2.MP3", "gone.mp3"]
    assert gathered([tmp_path / "b" / "cover.jpg"]) == [tmp_path / "b" / "cover.jpg"]


def test_a_folder_without_sound_is_one_line(tmp_path):
    with pytest.raises(Trouble, match="there is no sound in this folder"):
        gathered([tmp_path])


def test_a_folder_with_too_much_is_one_line(tmp_path, monkeypatch):
    monkeypatch.setattr(gathering, "MOST_FILES", 3)
    for number in range(4):
        (tmp_path / f"{number}.mp3").touch()
    with pytest.raises(Trouble, match="more than 3 sounds"):
        gathered([tmp_path])


@pytest.mark.proof
def test_ten_thousand_files_are_taken(tmp_path):
    for number in range(10_000):
        (tmp_path / f"{number:05}.mp3").touch()
    assert len(gathered([tmp_path])) == 10_000
