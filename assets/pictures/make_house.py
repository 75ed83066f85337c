"""Draws house.svg, the rooms of the program and who imports whom: ``python -m assets.pictures.make_house``.

A room is a package, or a file beside packages. Rooms are drawn above those that they import; an import implied by two
others is omitted. grimp (requirements-test.txt) reads the imports.
"""

from collections import defaultdict
from functools import cache
from pathlib import Path

import grimp

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
FLOORS = ("app", "exercises", "synth")
# Sizes in px.
WIDTH, MARGIN, BOX_HEIGHT, BOX_WIDTH, GAP, ROW_GAP, PAD = 1080, 120, 46, 174, 12, 34, 20
PAPER, SHEET, INK, SOFT, RULE, PEN = "#F4F0E6", "#FFFDF8", "#20232A", "#595C63", "#857E6E", "#1C4E9A"
BOX = f'height="{BOX_HEIGHT}" fill="{PAPER}" stroke="{RULE}"'
LINE = f'fill="none" stroke="{PEN}" stroke-opacity=".45" marker-end="url(#tip)"'
TIP = '<marker id="tip" viewBox="0 0 8 8" refX="7" refY="4" orient="auto"><path d="M0 0L8 4L0 8z"/></marker>'


def room_of(module: str) -> str:
    """The room of a module."""
    package = module if ROOT.joinpath(*module.split(".")).is_dir() else module.rpartition(".")[0]
    if package in FLOORS:
        return module
    return package.removesuffix(".kit")  # a file an instrument, and a part of the sound


def rooms() -> tuple[dict[str, int], dict[str, set[str]]]:
    """Room -> number of its files, and room -> the rooms that it imports."""
    graph = grimp.build_graph(*FLOORS, cache_dir=None)
    size: dict[str, int] = defaultdict(int)
    imports: dict[str, set[str]] = defaultdict(set)
    for module in sorted(graph.modules):
        file = ROOT.joinpath(*module.split(".")).with_suffix(".py")
        if file.is_file() and file.stem != "__main__":
            size[room_of(module)] += 1
            imports[room_of(module)] |= {room_of(used) for used in graph.find_modules_directly_imported_by(module)}
    return size, {room: {used for used in imports[room] if used in size and used != room} for room in size}


def draw() -> str:
    """The picture as SVG; ``RecursionError`` where rooms import each other in a circle."""
    size, imports = rooms()

    @cache
    def below(room: str) -> frozenset[str]:
        return frozenset().union(imports[room], *map(below, imports[room]))

    @cache
    def level(room: str) -> int:
        return 1 + max((level(used) for used in imports[room] if floor_of(used) == floor_of(room)), default=-1)

    places, bands, y = dict[str, tuple[float, float]](), [], PAD
    for floor in FLOORS:
        rows: dict[int, list[str]] = defaultdict(list)
        for room in filter(lambda room: floor_of(room) == floor, size):
            rows[level(room)].append(room)
        top, y = y, y + PAD
        for _, row in sorted(rows.items(), reverse=True):
            left = (WIDTH + MARGIN - len(row) * (BOX_WIDTH + GAP) + GAP) / 2
            places |= {room: (left + at * (BOX_WIDTH + GAP), y) for at, room in enumerate(row)}
            y += BOX_HEIGHT + ROW_GAP
        bands.append((floor, top, y - ROW_GAP + PAD))
        y += 2 * PAD - ROW_GAP
    out = [f'<rect width="{WIDTH}" height="{y}" fill="{PAPER}"/><defs>{TIP}</defs>']
    for floor, top, end in bands:
        out.append(f'<rect x="8" y="{top}" width="{WIDTH - 16}" height="{end - top}" fill="{SHEET}" rx="4"/>')
        out.append(f'<text x="26" y="{(top + end) / 2:.0f}" font-size="20" fill="{INK}">{floor}</text>')
    for room, direct in imports.items():
        # Draw only imports within a floor: any room may use those of the floors below.
        same = {used for used in direct if floor_of(used) == floor_of(room)}
        for used in sorted(same - set[str]().union(*map(below, same))):
            (x1, y1), (x2, y2) = places[room], places[used]
            x1, y1, x2 = x1 + BOX_WIDTH / 2, y1 + BOX_HEIGHT, x2 + BOX_WIDTH / 2
            bend = max(16, (y2 - y1) / 2)
            curve = f"{x1:.0f} {y1 + bend:.0f} {x2:.0f} {y2 - bend:.0f} {x2:.0f} {y2 - 2}"
            out.append(f'<path d="M{x1:.0f} {y1}C{curve}" {LINE}/>')
    for room, (x, at) in places.items():
        out.append(f'<rect x="{x:.0f}" y="{at}" width="{BOX_WIDTH}" {BOX}/>')
        told = f"{size[room]} files" if size[room] > 1 else "a file"
        for text, size_px, down, colour in ((room.partition(".")[2], 15, 19, INK), (told, 12, 36, SOFT)):
            where = f'x="{x + BOX_WIDTH / 2:.0f}" y="{at + down}" text-anchor="middle"'
            out.append(f'<text {where} font-size="{size_px}" fill="{colour}">{text}</text>')
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {y}" font-family="Cabin, sans-serif">'
    return "\n".join([head, *out, "</svg>", ""])


def floor_of(room: str) -> str:
    """The top folder of a room."""
    return room.partition(".")[0]


if __name__ == "__main__":
    (HERE / "house.svg").write_text(draw(), encoding="utf-8")
