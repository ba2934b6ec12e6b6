"""Where a piece stands: the words for people and the path for programs, built side by side."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from asfound.model.hardware import Module
from asfound.model.program import Body, GlobalList
from asfound.model.tags import Tag, TagTable

NOUNS = {"LD": "rung"}
"""What one piece of a diagram is called, by language; ``network`` for every other one."""


class Place(NamedTuple):
    """``where`` as in ``PumpControl / rung 3``, ``path`` as in ``("PumpControl", "network:3")``.

    ``old`` is the path in the old copy of a piece that stands at another number or under another name there.
    """

    where: str
    path: tuple[str, ...]
    old: tuple[str, ...] = ()

    def down(self, words: str, step: str, old: str = "") -> Place:
        """A place inside this one, which was another one in the old copy."""
        before = (*(self.old or self.path), old or step)
        path = (*self.path, step)
        return Place(f"{self.where} / {words}", path, before if before != path else ())

    def statement(self, index: int, old: int | None = None) -> Place:
        """The statement at ``index``, counted from 0; people count from 1."""
        return self.down(f"statement {index + 1}", *_step("statement", index, old))

    def network(self, index: int, noun: str, old: int | None = None) -> Place:
        """The rung or network at ``index``, counted from 0."""
        return self.down(f"{noun} {index + 1}", *_step("network", index, old))


def _step(kind: str, index: int, old: int | None) -> tuple[str, str]:
    return f"{kind}:{index + 1}", f"{kind}:{(index if old is None else old) + 1}"


def top(name: str) -> Place:
    """Place of something that stands at the top, a POU or a type."""
    return Place(name, (name,))


def noun(body: Body) -> str:
    """``rung`` or ``network``."""
    return NOUNS.get(body.language, "network")


def owner_words(step: str) -> str:
    """What people call that which the first step of a path names: ``type Mode``, a POU or a list by its name alone.

    >>> owner_words("tags:Terminals"), owner_words("PumpControl")
    ('tag table Terminals', 'PumpControl')
    """
    kind, _, name = step.partition(":")
    words = {"tags": f"tag table {name}", "globals": name, "subnet": f"network {name}"}
    return words.get(kind, f"{kind} {name}".rstrip())


def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """Sort key in which ``network:10`` comes behind ``network:9``; total, because the text itself comes last."""
    parts = re.split(r"(\d+)", text)
    numbers = tuple((0, int(p), "") if re.fullmatch("[0-9]{1,18}", p) else (1, 0, p.lower()) for p in parts if p)
    return (*numbers, (2, 0, text))


def natural_path(path: tuple[str, ...]) -> tuple[tuple[tuple[int, int, str], ...], ...]:
    """Sort key of a path."""
    return tuple(map(natural, path))


Row = tuple[str, Tag]
"""Name of the table, tag."""


def rows(tables: Sequence[TagTable]) -> list[Row]:
    """Every tag with its table, sorted by table and name."""
    found = [(table.name, tag) for table in tables for tag in table.tags]
    return sorted(found, key=lambda r: (r[0].lower(), r[1].name.lower(), r[1].address, r[1].type, r[1].comment))


def tag_place(table: str, name: str) -> Place:
    """Place of a tag."""
    return Place(f"tag {name}", (f"tags:{table}", f"tag:{name}"))


def tag_text(tag: Tag) -> str:
    """A tag on one line, as a declaration."""
    at = f" AT {tag.address}" if tag.address else ""
    comment = f" (* {tag.comment} *)" if tag.comment else ""
    more = "".join(f" {s.name}={s.value}" for s in tag.settings)
    return f"{tag.name}{at} : {tag.type or '?'};{comment}{more}"


def list_name(block: GlobalList) -> str:
    """What a list is paired by: its name, or its scope when it has none."""
    return block.name or f"globals of {block.scope}"


def list_place(block: GlobalList) -> Place:
    """Place of a global list."""
    return Place(list_name(block), (f"globals:{list_name(block)}",))


def module_place(place: Place, module: Module) -> Place:
    """Place of a module: its slot where it has one, and its name."""
    step = f"module:{module.slot if module.slot is not None else ''}:{module.name}"
    return place.down(module_words(module), step)


def module_words(module: Module) -> str:
    """``slot 3 DI16``."""
    return module.name if module.slot is None else f"slot {module.slot} {module.name}"
