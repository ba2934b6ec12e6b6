"""The model as a tree: what stands inside a node is told by the fields of its struct, and by nothing else.

A field holds nodes when its annotation names node types: one, one or none, or a tuple of them. So whoever adds a type
or a field has no list to keep, and nothing that walks or rewrites can leave a place out. Reading order is the order of
the fields. Cost: linear in the nodes met; what cannot lead to the nodes asked for is not entered.
"""

from __future__ import annotations

import types
from collections.abc import Callable, Iterator
from functools import cache
from operator import is_
from typing import Any, Generic, NamedTuple, TypeVar, Union, cast, get_args, get_origin

from msgspec.structs import fields, replace

from asfound.model.logic import Expression, Node, Statement
from asfound.model.program import Body, Pou

T = TypeVar("T")
N = TypeVar("N")


class Place(NamedTuple):
    """A field that holds nodes: of which types, and whether it is a tuple of them."""

    field: str
    types: tuple[type[Node], ...]
    several: bool


@cache
def places(kind: type[Node]) -> tuple[Place, ...]:
    """The fields of a node type that hold nodes, in reading order.

    >>> from asfound.model.logic import For
    >>> [place.field for place in places(For)]
    ['variable', 'first', 'last', 'step', 'statements']
    """
    found = []
    for field in fields(kind):
        several = get_origin(field.type) is tuple and get_args(field.type)[1:] == (...,)
        inner = _types(get_args(field.type)[0] if several else field.type)
        nodes = tuple(each for each in inner if isinstance(each, type) and issubclass(each, Node))
        others = [each for each in inner if each not in nodes and (several or each is not type(None))]
        if (nodes and others) or (not nodes and any(map(_hides, others))):
            raise TypeError(f"{kind.__name__}.{field.name}: nodes stand in it in a way that nothing walks")
        if nodes:
            found.append(Place(field.name, nodes, several))
    return tuple(found)


def _types(annotation: object) -> tuple[Any, ...]:
    union = get_origin(annotation) in (Union, types.UnionType)
    return get_args(annotation) if union else (annotation,)


def _hides(annotation: object) -> bool:
    """Does an annotation name a node type somewhere inside?"""
    inside = get_args(annotation)
    return (isinstance(annotation, type) and not inside and issubclass(annotation, Node)) or any(map(_hides, inside))


def leads(kind: type[Node], kinds: tuple[type, ...]) -> bool:
    """Can a node of a type hold one of some types, at any depth?"""
    met, waiting = {kind}, [kind]
    while waiting:
        for place in places(waiting.pop()):
            if any(issubclass(each, kinds) for each in place.types):
                return True
            waiting += [each for each in place.types if each not in met]
            met.update(place.types)
    return False


class Way(NamedTuple):
    """What a walk does at the nodes of one type."""

    wanted: bool
    places: tuple[tuple[str, bool, bool], ...]
    """Field, whether it is a tuple, and whether all that stands in it is wanted."""
    backwards: tuple[tuple[str, bool], ...]


class _Ways(dict[type, Way]):
    """Found for each type when it is first met."""

    def __init__(self, kinds: tuple[type, ...]) -> None:
        self.kinds = kinds

    def __missing__(self, kind: type) -> Way:
        found = []
        for field, nodes, several in places(kind):
            sought = [issubclass(each, self.kinds) for each in nodes]
            if any(sought) or any(leads(each, self.kinds) for each in nodes):
                found.append((field, several, all(sought)))
        backwards = tuple((field, several) for field, several, _ in reversed(found))
        way = self[kind] = Way(issubclass(kind, self.kinds), tuple(found), backwards)
        return way


class Walk(Generic[T]):
    """The way to the nodes of some types."""

    def __init__(self, *kinds: type) -> None:
        self.kinds, self._ways = frozenset(kinds), _Ways(kinds)

    def nearest(self, node: object) -> list[T]:
        """Those inside a node that stand in no other one of these types."""
        found: list[T] = []
        for field, several, wanted in self._ways[type(node)].places:
            inside = getattr(node, field)
            if wanted:
                if several:
                    found += inside
                elif inside is not None:
                    found.append(inside)
            elif inside is not None:
                for each in inside if several else (inside,):
                    if self._ways[type(each)].wanted:
                        found.append(each)
                    else:
                        found += self.nearest(each)
        return found

    def all(self, node: object) -> Iterator[T]:
        """Each once in reading order, outer ones before what stands in them; the node itself, if it is one, first."""
        stack, ways = [node], self._ways
        while stack:
            node = stack.pop()
            way = ways[type(node)]
            if way.wanted:
                yield cast(T, node)
            for field, several in way.backwards:
                inside = getattr(node, field)
                if several:
                    stack += inside[::-1]
                elif inside is not None:
                    stack.append(inside)

    def rebuilt(self, node: N, change: Callable[[Any], Any]) -> N:
        """A copy with a change made to everything directly inside that can hold such nodes; itself if none differs."""
        new: dict[str, object] = {}
        for field, several, _ in self._ways[type(node)].places:
            inside = getattr(node, field)
            if several:
                changed = tuple(map(change, inside))
                if not all(map(is_, inside, changed)):
                    new[field] = changed
            elif inside is not None and (changed := change(inside)) is not inside:
                new[field] = changed
        return replace(cast(Any, node), **new) if new else node


EXPRESSIONS = Walk[Expression](*get_args(Expression))
STATEMENTS = Walk[Statement](*get_args(Statement))
CODE = Walk[Expression | Statement](*get_args(Expression), *get_args(Statement))
BODIES = Walk[Body](Body)
POUS = Walk[Pou](Pou)
NODES = Walk[Node](Node)
