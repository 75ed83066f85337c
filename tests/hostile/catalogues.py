"""A learner's list of recordings, grids from elsewhere and playlists, damaged or hostile."""

import json
from pathlib import Path
from random import Random
from typing import Any

import numpy as np
import pytest

from synth.base.errors import Trouble
from synth.catalogue.catalogue import Catalogue
from synth.catalogue.exchange.jams import jams_of
from synth.catalogue.exchange.travelling import write_grids
from synth.catalogue.recording import State
from synth.recording.refusals import NOT_AUDIO
from tests.hostile.values import TEXTS, bytes_of, json_bytes, mutated
from tests.hostile.world import NAMES, Fell, World, held
from tests.synth.catalogue.made import GRID, REFUSED, recording

CHANGES = (("--tempo", "half"), ("--tempo", "double"), ("--one", "12.5"), ("--phrase", "6"), ("--intro", "8"))
CHANGES += (("--phrase-bars", "16"), ("--by", "tutor"), ("--phrase", "9999"), ("--intro", "9999"))


def a_list(world: World) -> Catalogue:
    """Three recordings: found, confirmed, refused."""
    catalogue = Catalogue(world.home)
    for each in (recording(1), recording(2).confirmed("tutor"), REFUSED):
        catalogue.keep(each, bytes(1000))
    return catalogue


def used(world: World, draw: Random) -> None:
    """Everything that is done with a list, of what it holds."""
    for row in json.loads(world.run("records", "--json", status=0).out):
        has_grid = row["grid"] is not None
        world.run("records", "grid", row["id"], "--json", status=0 if has_grid else 2)
        if has_grid:
            with held("a grid's count"):
                count = Catalogue(world.home).get(row["id"]).grid.count()  # type: ignore[union-attr]
                if not np.isfinite(count.beats_s).all():
                    raise Fell("a grid of no numbers")
            outs = ("--beats", world.out / "b.txt", "--jams", world.out / "j.jams")
            world.run("records", "grid", row["id"], *outs, status=0)
            world.run("records", "confirm", row["id"], *draw.choice(CHANGES))
    world.run("records", status=0)
    world.run("records", "export-grids", world.out / "grids.jsonl")


def entries(draw: Random, world: World) -> str:
    """Entries, index and what waits: a bad one is set aside, the others are as they were."""
    catalogue = a_list(world)
    spoilt = draw.choice((recording(1), recording(2), REFUSED)).print
    path = catalogue.folder / f"{spoilt}.json"
    if draw.random() < 0.75:
        path.write_bytes(json_bytes(draw, mutated(draw, json.loads(path.read_text()))))
    else:
        path.write_bytes(bytes_of(draw, path.read_bytes()))
    for name in ("index.json", "waiting.list"):
        if draw.random() < 0.2:
            (catalogue.folder / name).write_bytes(bytes_of(draw, b'["a", {"changed_ns": 1, "size": 2, "entry": {}}]'))
    ran = world.run("records", "--json", status=0)
    listed = {row["id"] for row in json.loads(ran.out)}
    others = {recording(1).print, recording(2).print, REFUSED.print} - {spoilt}
    if not others <= listed:
        raise Fell("an entry that was good is lost")
    used(world, draw)
    return "accepted" if spoilt in listed else "refused"


def grids(draw: Random, world: World) -> str:
    """Beats, JAMS and grids that travel; what is refused changes nothing."""
    catalogue = a_list(world)
    kind = draw.choice(("beats", "jams", "grids"))
    if kind == "beats":
        data = bytes_of(draw, GRID.count().text().encode()[: draw.choice((200, 2000, 20_000))])
        words: tuple[Any, ...] = ("confirm", recording(1).print, "--beats")
    elif kind == "jams":
        made = jams_of(GRID, "Invented", "Nobody", "tutor")
        for each in made["annotations"]:
            del each["data"][40:]
        data = json_bytes(draw, mutated(draw, made, ("annotations",) if draw.random() < 0.8 else ()))
        words = ("confirm", recording(1).print, "--jams")
    else:
        write_grids(catalogue, world.out / "grids.jsonl")
        head, line = (world.out / "grids.jsonl").read_bytes().splitlines()
        data = head + b"\n" + json_bytes(draw, mutated(draw, json.loads(line)))
        data = data if draw.random() < 0.8 else bytes_of(draw, head + b"\n" + line)
        catalogue.forget(recording(2).print)
        words = ("import-grids",)
    before = list(Catalogue(world.home))
    ran = world.run("records", *words, world.put("given", data))
    if ran.status and list(Catalogue(world.home)) != before:
        raise Fell(f"{kind}: refused, and something changed")
    if not ran.status:
        used(world, draw)
    return NAMES[ran.status]


class NoSound:
    """An analysis without a process: a case would take most of its time to start it."""

    def __init__(self, path: Path | str) -> None:
        self.path = path

    def found(self) -> None:
        """Whatever it is, it is no sound."""
        raise Trouble(NOT_AUDIO(path="a file"))

    def stop(self) -> None:
        """Nothing to end."""


def playlists(draw: Random, world: World) -> str:
    """Lists of files that are there, missing, elsewhere and nowhere; each is tried or left out, none is fetched."""
    names = [world.put(name, b"no sound").name for name in ("a.mp3", "b é.flac", "100%25.ogg")]
    names += [draw.choice(TEXTS) for _ in range(draw.randrange(4))]
    names += draw.choices(
        ("/dev/zero", "/dev/stdin", ".", "..", "file:///etc/hostname", "ftp:" + "//x/a", "a\0b"), k=2
    )
    draw.shuffle(names)
    if draw.random() < 0.5:
        ending, text = ".m3u8", "#EXTM3U\n" + "\n".join(names)
    else:
        ending = ".xspf"
        plain = [name.replace("&", "&amp;").replace("<", "&lt;") for name in names]
        tracks = "".join(f"<track><location>{name}</location></track>" for name in plain)
        text = f'<?xml version="1.0"?><playlist version="1"><trackList>{tracks}</trackList></playlist>'
    data = text.encode("utf-8", "surrogatepass")
    path = world.put(f"list{ending}", bytes_of(draw, data) if draw.random() < 0.7 else data)
    before = path.read_bytes()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("synth.catalogue.queue.Analysis", NoSound)
        world.run("records", "add", path, world.out / "a.mp3", status=2)
    if path.read_bytes() != before:
        raise Fell("a list was changed")
    if any(each.state is not State.UNREADABLE for each in Catalogue(world.home)):
        raise Fell("a grid of no sound")
    # Nothing that is listed here is sound: accepted is a list whose files were tried.
    return "accepted" if len(Catalogue(world.home)) else "refused"
