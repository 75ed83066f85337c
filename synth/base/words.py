"""Sentences as data, so that a window can translate them and a file can keep them.

A module keeps its sentences together as module-level ``Template`` constants; calling one with its values gives a
``Say``. ``templates(module)`` lists them, which is all that a translation table needs. A value may be a ``Say``
itself (the name of a beat within a sentence); it is translated in its turn.

A file keeps a sentence as the template's id and plain values. Text from a file is never a template: an id that is not
known is shown as plain text.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, is_dataclass
from dataclasses import fields as dataclass_fields
from functools import cache
from types import MappingProxyType, ModuleType
from typing import Any

from synth.base.old_words import OLD_TEXTS, REWORDED

ID = re.compile(r"[a-z][a-z0-9_]*(\.[a-z0-9_]+)*")
# A brace that is meant as one, or a field.
PARTS = re.compile(r"\{\{|\}\}|\{([a-z][a-z0-9_]*)\}")
PLAIN_VALUES = (str, int, float, bool, type(None))

_by_id: dict[str, "Template"] = {}
_by_text: dict[str, "Template"] = {}


@dataclass(frozen=True, slots=True)
class Template:
    """A sentence with open fields: ``Template("one.on", "You were on {beat}.")(beat=...)`` is a ``Say``.

    ``id``: lowercase words with dots between, the program's own for good: files keep it. ``text``: English, its
    fields plain names. ``ValueError`` for another form, and where two templates have one id.
    """

    id: str
    text: str

    def __post_init__(self) -> None:
        if not ID.fullmatch(self.id) or set(PARTS.sub("", self.text)) & set("{}"):
            raise ValueError(f"{self.id!r}: an id of lowercase words and fields that are plain names expected")
        if _by_id.setdefault(self.id, self) != self:
            raise ValueError(f"two sentences are called {self.id!r}")
        _by_text.setdefault(self.text, self)

    def __str__(self) -> str:
        return self.text

    def __call__(self, **values: object) -> "Say":
        """The sentence with its values; ``ValueError`` where a field is missing or unknown."""
        if unknown := set(values) - fields(self.text):
            raise ValueError(f"{', '.join(sorted(unknown))} is not in {self.text!r}")
        return Say(self, values)


@dataclass(frozen=True, slots=True)
class Say:
    """A sentence: a template and the values of its fields, each a sentence, a text, a number or a truth value.

    Any other value is kept as its text. ``ValueError`` where a field has none. ``str(say)`` is the English sentence.
    """

    template: Template
    values: Mapping[str, object] = field(default_factory=dict)

    def __post_init__(self) -> None:
        kept = {k: v if isinstance(v, (*PLAIN_VALUES, Say)) else str(v) for k, v in self.values.items()}
        object.__setattr__(self, "values", MappingProxyType(kept))
        if missing := fields(self.template.text) - set(self.values):
            raise ValueError(f"no value for {', '.join(sorted(missing))} in {self.template.text!r}")

    def __str__(self) -> str:
        return self.rendered()

    def __hash__(self) -> int:
        return hash((self.template, tuple(sorted((k, str(v)) for k, v in self.values.items()))))

    def rendered(
        self,
        translate: Callable[[str], str] = str,
        written: Callable[[str, object], str] = lambda name, value: str(value),
    ) -> str:
        """The sentence, with ``translate`` applied to the template and to every sentence within it.

        ``written`` writes a value that is no sentence, given the name of its field.
        """

        def value(found: re.Match[str]) -> str:
            name = found[1]
            if name is None:
                return found[0][0]
            inner = self.values.get(name, found[0])
            if not isinstance(inner, Say):
                return written(name, inner)
            text = inner.rendered(translate, written)
            # A sentence with a full stop leaves it out before another one.
            return text.removesuffix(".") if found.string.startswith(".", found.end()) else text

        return PARTS.sub(value, translate(self.template.text))

    def to_json(self) -> dict[str, Any]:
        """``{"say": id, "with": values}``; ``with`` is left out when there is nothing in it."""
        inner = {k: v.to_json() if isinstance(v, Say) else v for k, v in self.values.items()}
        return {"say": self.template.id, "with": inner} if inner else {"say": self.template.id}

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> "Say":
        """The reverse of ``to_json``, also of version 0.1.0, which kept the English text in the place of the id.

        What is neither, or lacks a value, is plain text. ``KeyError``, ``TypeError`` on anything else.
        """
        kept = data["say"]
        if not isinstance(kept, str):
            raise TypeError(f"{kept!r} is no sentence")
        values = {}
        for name, value in dict(data.get("with", {})).items():
            if not isinstance(value, (*PLAIN_VALUES, Mapping)):
                raise TypeError(f"{name}: {value!r} is no value of a sentence")
            values[name] = cls.from_json(value) if isinstance(value, Mapping) else value
        known = _by_id.get(kept) or _by_text.get(kept)
        template = known or _by_id.get(NOW.get(kept, "")) or OLD.get(kept)
        if template is None or fields(template.text) - set(values):
            return say(kept)
        return cls(template, values)


PLAIN = Template("plain", "{plain}")
# Sentences that are worded in another way by now, by their text.
OLD = {text: Template(f"old.{number}", text) for number, text in enumerate(OLD_TEXTS)}
# The id of today for an id or text that is kept in files and not said any more.
NOW = dict(REWORDED)
PAIR = Template("pair", "{first}; {rest}")


@cache  # asked twice of each sentence that is said; there are some thousand templates
def fields(text: str) -> frozenset[str]:
    """Names of the fields of a template's text."""
    return frozenset(found[1] for found in PARTS.finditer(text) if found[1])


def templates(module: ModuleType) -> Iterator[Template]:
    """Every sentence that a module can say: its constants, what its classes hold, tables and rows included."""
    for value in vars(module).values():
        if isinstance(value, type) and value.__module__ == module.__name__ and value is not Template:
            yield from _within(vars(value))
        else:
            yield from _within(value)


def _within(value: object) -> Iterator[Template]:
    if isinstance(value, Template):
        yield value
    elif isinstance(value, Mapping):
        yield from (template for each in value.values() for template in _within(each))
    elif isinstance(value, tuple):
        yield from (template for each in value for template in _within(each))
    elif is_dataclass(value) and not isinstance(value, type):
        yield from (template for each in dataclass_fields(value) for template in _within(getattr(value, each.name)))


def plural(n: int, one: Template, many: Template) -> Say:
    """``one`` for a single thing and ``many`` otherwise; both take the field ``n``, or none."""
    template = one if n == 1 else many
    return template(n=n) if "n" in fields(template.text) else template()


def listed(says: Iterable[Say]) -> Say | None:
    """Several sentences as one, with a semicolon between them; ``None`` for none."""
    whole: Say | None = None
    for each in says:
        whole = each if whole is None else PAIR(first=whole, rest=each)
    return whole


def say(text: str) -> Say:
    """Plain text, braces and all, as a ``Say``; it is shown as it is in every language."""
    return PLAIN(plain=text)
