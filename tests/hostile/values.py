"""Values, texts and bytes such as tend to break readers, each drawn from a generator of its own seed."""

import json
from copy import deepcopy
from math import isfinite
from random import Random
from typing import Any

# Texts: formats, controls, formulas, dates, names, sentences that are none.
TEXTS = (
    *(
        "",
        " ",
        "x",
        "{x:>300000000}",
        "{0.foo}",
        "{{{{}}}}",
        "{",
        "}",
        "{learner}",
        "{plain}",
        "%s%n",
        "\\",
        "'",
        '"',
    ),
    *(
        "\0",
        "\x1b[31mred",
        "\x07",
        "\r\n",
        "a\nb",
        "\x7f",
        "\x85",
        "\u202eabc",
        "\u2028",
        "\ufeff",
        "\ud800",
        "\udcff",
    ),
    *("=1+1", "+1", "-1", "@x", "\t=1", "-", "=cmd|'x'!a", " =1", "\r=1", "\u00a0", "\U0001f941", "e\u0301" * 50),
    *("9999-12-31T23:59:59Z", "0001-01-01T00:00:00Z", "1970-01-01T00:00:00Z", "2199-12-31T23:59:59Z", "2030-02-30"),
    *("2030-05-01T18:00:00", "2030-05-01T24:00:00Z", "0000-00-00T00:00:00Z", "+030-05-01T18:00:00Z", "nan", "1e999"),
    *("one", "beat", "in-line", "me", "plain", "busy", "loud", "taps", "choice", "true", "null", "0", "1.1", "0.0"),
    *(
        "99.99",
        "1",
        "9999.9",
        "\u0663",
        "\u00bd",
        "a" * 999,
        "b" * 5000,
        "../../x",
        "<b>x</b>",
        "<img src=x>",
        "&amp;",
    ),
    *(
        "stall 312; underflow",
        "stall",
        "stall x",
        "stall 1e999",
        "one.on",
        "plain",
        "summary.head",
        "0" * 32,
        "f" * 32,
    ),
)
NUMBERS = (
    *(
        0,
        1,
        -1,
        2,
        5,
        100,
        101,
        255,
        1000,
        65_536,
        2**31,
        -(2**31),
        2**40,
        2**53 + 1,
        2**63 - 1,
        2**63,
        2**64,
        10**30,
    ),
    *(-(2**63), 0.0, -0.0, 0.5, 1.5, 1e-320, 1e-9, 1e9, 1e12, 1.0000001e12, 1e18, 1e300, 1.7e308, -1e308, 86_400.0),
    *(86_399.999, 21_600.0, 21_600.1, 20.0, 600.0, 1439, 1440, -1439, float("nan"), float("inf"), float("-inf")),
)
PLAIN = (None, True, False, [], {}, [1], [[]], {"a": 1}, [None], {"say": "x"}, {"": ""}, [0.1, 0.2], ["x", "y"])


def value(draw: Random, depth: int = 0) -> Any:
    """Any value of JSON, most of them unlikely."""
    chance = draw.random()
    if chance < 0.38:
        return draw.choice(TEXTS)
    if chance < 0.72:
        return draw.choice(NUMBERS)
    if chance < 0.88 or depth > 2:
        return deepcopy(draw.choice(PLAIN))  # what is mutated in one case is whole in the next
    if chance < 0.89:
        return nested(draw)
    if chance < 0.90:
        return draw.choice(("z" * 400_000, [0.5] * 30_000, {str(n): n for n in range(3000)}))
    if chance < 0.95:
        return [value(draw, depth + 1) for _ in range(draw.randrange(4))]
    return {draw.choice(TEXTS): value(draw, depth + 1) for _ in range(draw.randrange(4))}


def nested(draw: Random) -> Any:
    """Lists or sentences within each other, some as deep as a reader can go and deeper."""
    found: Any = deepcopy(draw.choice(PLAIN))
    form = draw.randrange(3)
    for _ in range(draw.choice((3, 4, 5, 6, 60, 400))):
        found = ([found], {"a": found}, {"say": draw.choice(TEXTS[:14]), "with": {"x": found}})[form]
    return found


def near(draw: Random, old: Any) -> Any:
    """A value that is like the old one and yet another."""
    if isinstance(old, bool):
        return draw.choice((not old, int(old), str(old), None))
    if isinstance(old, float) and not isfinite(old):
        return value(draw)
    if isinstance(old, int | float):
        return draw.choice(
            (-old, old * 1000, old + 1, old - 1, old + 0.5, str(old), [old], old * 1e6, int(old), None)
        )
    if isinstance(old, str):
        at = draw.randrange(len(old) + 1)
        return draw.choice(
            (old[:at] + draw.choice(TEXTS) + old[at:], old[:at], old[at:], old.upper(), old * 20, [old], None)
        )
    if isinstance(old, list):
        return draw.choice(
            (old[:-1], old[1:], old * 2, [*old, value(draw)], [*reversed(old)], [old], {"0": old}, None, sum_of(old))
        )
    if isinstance(old, dict):
        return draw.choice((list(old), old | {draw.choice(TEXTS): value(draw)}, [old], None, {}))
    return value(draw)


def sum_of(old: list[Any]) -> Any:
    """A list's first item, in the place of all."""
    return old[0] if old else 0


def places(data: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The path of every value within another, the whole one aside; of a long list the first items alone."""
    found = []
    items = data.items() if isinstance(data, dict) else enumerate(data[:6]) if isinstance(data, list) else ()
    for key, inner in items:
        found += [(*path, key), *places(inner, (*path, key))]
    return found


def mutated(draw: Random, data: Any, fields: tuple[str, ...] = ()) -> Any:
    """A copy of plain values with one to three of them changed, left out or added; within ``fields`` if any."""
    data = json.loads(json.dumps(data))
    for _ in range(draw.choice((1, 1, 1, 2, 3))):
        found = [path for path in places(data) if not fields or path[0] in fields]
        if not found:
            return value(draw)
        shallow = [path for path in found if len(path) == min(map(len, found))]
        *path, last = draw.choice(shallow if draw.random() < 0.4 else found)
        inner = data
        for key in path:
            inner = inner[key]
        chance = draw.random()
        if chance < 0.08:
            del inner[last]
        elif chance < 0.14 and isinstance(inner, dict):
            inner[draw.choice(TEXTS)] = value(draw)
        elif chance < 0.45:
            inner[last] = near(draw, inner[last])
        else:
            inner[last] = value(draw)
    return data


def json_bytes(draw: Random, data: Any) -> bytes:
    """JSON as Python writes it, NaN and lone surrogates too; sometimes another encoding, or with a mark before it."""
    text = json.dumps(data, ensure_ascii=draw.random() < 0.7)
    chance = draw.random()
    if chance < 0.04:
        return b"\xef\xbb\xbf" + text.encode("utf-8", "surrogatepass")
    if chance < 0.05:
        return text.encode("utf-16", "surrogatepass")
    if chance < 0.06 and max(text, default=" ") < "\u0100":  # else another text would be written than is asked for
        return text.encode("latin-1")
    return text.encode("utf-8", "surrogatepass")


def bytes_of(draw: Random, data: bytes) -> bytes:
    """Bytes with some changed, left out, doubled or brought in, or cut off."""
    found = bytearray(data)
    for _ in range(draw.choice((1, 1, 2, 4, 9))):
        at = draw.randrange(len(found) + 1)
        until = min(len(found), at + draw.choice((1, 1, 2, 8, 200)))
        match draw.randrange(6):
            case 0:
                found[at:until] = draw.randbytes(until - at)
            case 1:
                del found[at:until]
            case 2:
                found[at:at] = found[at:until]
            case 3:
                found[at:at] = draw.choice(TEXTS).encode("utf-8", "surrogatepass")
            case 4:
                found[at:at] = draw.choice((b"\0", b"\xff", b"\xc3\x28", b"\xed\xa0\x80", b"[" * 3000, b"{", b"\n\n"))
            case 5 if draw.random() < 0.3:
                del found[at:]
    return bytes(found)


def flipped(draw: Random, data: bytes) -> tuple[bytes, int]:
    """Bytes in which some bits are flipped, or a stretch is lost, and how many of its places were touched."""
    found = bytearray(data)
    match draw.randrange(10):
        case 0:
            at = draw.randrange(len(found))
            del found[at:]
            return bytes(found), 1_000_000
        case 1:
            at = draw.randrange(len(found))
            until = min(len(found), at + draw.choice((8, 100, 512, 4096, 20_000)))
            found[at:until] = draw.choice((bytes(until - at), draw.randbytes(until - at)))
            return bytes(found), 1_000_000
    bits = draw.choice((1, 1, 1, 2, 4, 16))
    for _ in range(bits):
        at = draw.randrange(min(len(found), draw.choice((200, 4096, len(found), len(found), len(found)))))
        found[at] ^= 1 << draw.randrange(8)
    return bytes(found), bits
