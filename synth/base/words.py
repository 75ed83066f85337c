"""Sentences as data, so that a window can translate them and a file can keep them.

A module keeps its sentences together as module-level ``Template`` constants; calling one with its values gives a
``Say``. ``templates(module)`` lists them, which is all that a translation table needs. A value may be a ``Say``
itself (the name of a beat within a sentence); it is translated in its turn.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, is_dataclass
from dataclasses import fields as dataclass_fields
from string import Formatter
from types import MappingProxyType, ModuleType
from typing import Any


@dataclass(frozen=True, slots=True)
class Say:
    """A sentence: an English template with named fields, and the values of the fields.

    ``ValueError`` where a field has no value. ``str(say)`` is the English sentence.
    """

    template: str
    values: Mapping[str, object] = field(default_factory=dict)

    def __post_init__(self) -> None:
        object.__setattr__(self, "values", MappingProxyType(dict(self.values)))
        missing = fields(self.template) - set(self.values)
        if missing:
            raise ValueError(f"no value for {', '.join(sorted(missing))} in {self.template!r}")

    def __str__(self) -> str:
        return self.rendered()

    def __hash__(self) -> int:
        return hash((self.template, tuple(sorted((k, str(v)) for k, v in self.values.items()))))

    def rendered(self, translate: Callable[[str], str] = str) -> str:
        """The sentence, with ``translate`` applied to the template and to every sentence within it."""
        inner = {k: v.rendered(translate) if isinstance(v, Say) else v for k, v in self.values.items()}
        return translate(self.template).format(**inner)

    def to_json(self) -> dict[str, Any]:
        """``{"say": template, "with": values}``; ``with`` is left out when there is nothing in it."""
        inner = {k: v.to_json() if isinstance(v, Say) else v for k, v in self.values.items()}
        return {"say": self.template, "with": inner} if inner else {"say": self.template}

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> "Say":
        """The reverse of ``to_json``; ``KeyError``, ``TypeError`` or ``ValueError`` on anything else."""
        values = {
            name: cls.from_json(value) if isinstance(value, Mapping) else value
            for name, value in dict(data.get("with", {})).items()
        }
        template = data["say"]
        if not isinstance(template, str):
            raise TypeError(f"{template!r} is no sentence")
        return cls(template, values)


class Template(str):
    """A sentence with open fields: ``Template("You were on {beat}.")(beat=...)`` is a ``Say``."""

    __slots__ = ()

    def __call__(self, **values: object) -> Say:
        """The sentence with its values; ``ValueError`` where a field is missing or unknown."""
        unknown = set(values) - fields(self)
        if unknown:
            raise ValueError(f"{', '.join(sorted(unknown))} is not in {str(self)!r}")
        return Say(str(self), values)


def fields(template: str) -> set[str]:
    """Names of the fields of a template."""
    return {name for _, name, _, _ in Formatter().parse(template) if name}


def templates(module: ModuleType) -> Iterator[str]:
    """Every sentence that a module can say: its constants, what its classes hold, tables and rows included."""
    for value in vars(module).values():
        if isinstance(value, type) and value.__module__ == module.__name__ and value is not Template:
            yield from _within(vars(value))
        else:
            yield from _within(value)


def _within(value: object) -> Iterator[str]:
    if isinstance(value, Template):
        yield str(value)
    elif isinstance(value, Mapping):
        yield from (text for each in value.values() for text in _within(each))
    elif isinstance(value, tuple):
        yield from (text for each in value for text in _within(each))
    elif is_dataclass(value) and not isinstance(value, type):
        yield from (text for each in dataclass_fields(value) for text in _within(getattr(value, each.name)))


def plural(n: int, one: Template, many: Template) -> Say:
    """``one`` for a single thing and ``many`` otherwise; both take the field ``n``, or none."""
    template = one if n == 1 else many
    return template(n=n) if "n" in fields(template) else template()


def say(text: str) -> Say:
    """Plain text that has no fields, braces and all, as a ``Say``."""
    return Say(text.replace("{", "{{").replace("}", "}}"))
