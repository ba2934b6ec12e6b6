"""Every single change that can be made to one node of an XML export, and whether the noise table allows to miss it."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from lxml import etree

from asfound.readers.noise import matches
from asfound.readers.tc6.noise import NOISE
from asfound.readers.tc6.plate import step

PATTERNS = tuple(n.path for n in NOISE)


@dataclass(frozen=True)
class Mutation:
    """One edit: ``apply`` changes a fresh copy of the tree and gives it back as bytes."""

    what: str
    path: str
    noise: bool
    apply: Callable[[], bytes]


def noisy(path: str) -> bool:
    return any(matches(p, path) for p in PATTERNS)


def mutations(data: bytes) -> Iterator[Mutation]:
    """All mutations of a document, in document order."""
    root = etree.fromstring(data, etree.XMLParser(remove_comments=True, remove_pis=True))
    nodes = list(root.iter(etree.Element))
    paths = {}
    jumps = {j.get("localId") for j in root.iter("{*}jumpStep")}
    for at, node in enumerate(nodes):
        parent = node.getparent()
        paths[node] = step(node) if parent is None else f"{paths[parent]}/{_step(node, jumps)}"
        yield from _of_node(root, node, at, paths[node])


def _step(node, jumps: set[str]) -> str:
    """As :func:`step`; a point of a convergence that a jump is drawn into is marked."""
    name = step(node)
    if name == "connectionPointIn" and node.getparent().tag.endswith("Convergence"):
        return "connectionPointIn[jump]" if any(c.get("refLocalId") in jumps for c in node) else name
    return name


def _of_node(root, node, at: int, path: str) -> Iterator[Mutation]:
    def edit(change: Callable[[etree._Element], None]) -> Callable[[], bytes]:
        def apply() -> bytes:
            fresh = copy.deepcopy(root)
            change(list(fresh.iter(etree.Element))[at])
            return etree.tostring(fresh)

        return apply

    for name, value in node.attrib.items():
        where = f"{path}/@{name.rpartition('}')[2]}"
        new = other(str(value))
        yield Mutation(f"{name}: {value!r} -> {new!r}", where, noisy(where), edit(lambda n, k=name, v=new: n.set(k, v)))
        default = noisy(f"{where}={_meaning(node, name, str(value))}")
        yield Mutation(
            f"{name}={value!r} removed", where, noisy(where) or default, edit(lambda n, k=name: n.attrib.pop(k))
        )
    if node.text and node.text.strip():
        where = f"{path}/text()"
        new = other(node.text.strip())
        yield Mutation(
            f"text -> {new!r}", where, noisy(where) or noisy(path), edit(lambda n, v=new: setattr(n, "text", v))
        )
    parent = node.getparent()
    if parent is None:
        return
    hollow = silent(node, path) or noisy(f"{path}/removed()")
    yield Mutation("element removed", path, hollow, edit(_remove))
    after = node.getnext()
    if after is not None and etree.tostring(after) != etree.tostring(node):
        parent_path = path.rpartition("/")[0]
        calm = (
            node.tag != after.tag  # a fixed sequence of different things (interface, body): the schema fixes the order
            or noisy(f"{parent_path}/order()")
            or silent(node, path)
            or silent(after, f"{parent_path}/{step(after)}")
        )
        yield Mutation(f"swapped with {step(after)}", path, calm, edit(_swap))


def _meaning(node, name: str, value: str) -> str:
    """``first()`` for the name of the first output of the block a wire comes from, which may be left out."""
    if name != "formalParameter" or not node.tag.endswith("}connection"):
        return value
    body = next(a for a in node.iterancestors() if a.tag.rpartition("}")[2] in ("LD", "FBD", "SFC"))
    pins = [
        pin.get("formalParameter")
        for block in body.iter("{*}block")
        if block.get("localId") == node.get("refLocalId")
        for pin in block.iterfind("{*}outputVariables/{*}variable")
        if pin.get("formalParameter", "").upper() != "ENO"
    ]
    steps = any(s.get("localId") == node.get("refLocalId") for s in body.iter("{*}step"))
    return "first()" if steps or pins[:1] == [value] else value


def silent(node, path: str) -> bool:
    """Nothing below a node, itself included, may be seen."""
    if noisy(path) or noisy(f"{path}/removed()"):
        return True
    if node.text and node.text.strip():
        return False
    for name, value in node.attrib.items():
        where = f"{path}/@{name.rpartition('}')[2]}"
        named = node.tag.endswith("}data") and name == "name"  # says what its children are
        if not (named or noisy(where) or noisy(f"{where}={value}")):
            return False
    children = list(node)
    if not children:
        return noisy(f"{path}/empty()")
    return all(silent(child, f"{path}/{step(child)}") for child in children)


def _remove(node) -> None:
    node.getparent().remove(node)


def _swap(node) -> None:
    after = node.getnext()
    after.addnext(node)


def other(value: str) -> str:
    """A value that means something else."""
    word = value.strip()
    if word.lower() in ("true", "false"):
        return "false" if word.lower() == "true" else "true"
    if word.lstrip("-").isdigit():
        return str(int(word) + 1)
    if word in ("rising", "falling"):
        return "falling" if word == "rising" else "rising"
    if word in ("set", "reset"):
        return "reset" if word == "set" else "set"
    return f"{word}_x" if word and (word[-1].isalnum() or word[-1] == "_") else f"{word} x_x"
