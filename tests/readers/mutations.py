"""Every single change that can be made to one node of an XML export, and whether the noise table allows to miss it."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from exchange import Format, format_of
from lxml import etree

from asfound.readers.residue import step


@dataclass(frozen=True)
class Mutation:
    """One edit: ``apply`` changes a fresh copy of the tree and gives it back as bytes.

    ``noise``: the noise table allows to miss it; ``still``: it must change nothing, also by itself (an id that others
    refer to is noise only where all change together). ``rows`` are the paths under which the table may list it.
    """

    what: str
    path: str
    noise: bool
    apply: Callable[[], bytes]
    rows: tuple[str, ...] = ()
    still: bool = False


@dataclass(frozen=True)
class Tree:
    """A document with the path of each of its elements."""

    root: etree._Element
    format: Format
    marks: dict[etree._Element, str]
    paths: dict[etree._Element, str]

    def noisy(self, path: str) -> bool:
        return self.format.noisy(path)

    def step(self, node: etree._Element) -> str:
        return self.marks.get(node) or step(node)


def tree(data: bytes) -> Tree:
    """A document with its paths; comments and processing instructions are left out."""
    root = etree.fromstring(data, etree.XMLParser(remove_comments=True, remove_pis=True))
    format = format_of(root)
    found = Tree(root, format, format.marks(root), {})
    for node in root.iter(etree.Element):
        parent = node.getparent()
        found.paths[node] = found.step(node) if parent is None else f"{found.paths[parent]}/{found.step(node)}"
    return found


def mutations(data: bytes) -> Iterator[Mutation]:
    """All mutations of a document, in document order."""
    found = tree(data)
    for at, node in enumerate(found.paths):
        yield from _of_node(found, node, at)


def _of_node(tree: Tree, node, at: int) -> Iterator[Mutation]:
    path, noisy = tree.paths[node], tree.noisy

    def edit(change: Callable[[etree._Element], None]) -> Callable[[], bytes]:
        def apply() -> bytes:
            fresh = copy.deepcopy(tree.root)
            change(list(fresh.iter(etree.Element))[at])
            return etree.tostring(fresh)

        return apply

    for name, value in node.attrib.items():
        where = f"{path}/@{name.rpartition('}')[2]}"
        new = other(str(value))
        amounts = tree.format.change(node, name, new)
        rows = (where, f"{where}={amounts}") if amounts else (where,)
        change = edit(lambda n, k=name, v=new: n.set(k, v))
        still = noisy(where) and "id" not in name.lower()
        yield Mutation(f"{name}: {value!r} -> {new!r}", where, any(map(noisy, rows)), change, rows, still)
        said, gone = tree.format.meaning(node, name, str(value)), tree.format.change(node, name, None)
        rows = (where, f"{where}={said}", f"{where}={gone}" if gone else where)
        change = edit(lambda n, k=name: n.attrib.pop(k))
        yield Mutation(f"{name}={value!r} removed", where, any(map(noisy, rows)), change, rows)
    if node.text and node.text.strip():
        where = f"{path}/text()"
        new = other(node.text.strip())
        yield Mutation(
            f"text -> {new!r}",
            where,
            noisy(where) or noisy(path),
            edit(lambda n, v=new: setattr(n, "text", v)),
            (where, path),
        )
    parent = node.getparent()
    if parent is None:
        return
    gone = (path, f"{path}/removed()") if len(node) or node.text else (path, f"{path}/removed()", f"{path}/empty()")
    yield Mutation("element removed", path, silent(tree, node), edit(_remove), gone)
    after = node.getnext()
    if after is not None and etree.tostring(after) != etree.tostring(node):
        yield from _swaps(tree, node, after, edit)


def _swaps(tree: Tree, node, after, edit: Callable) -> Iterator[Mutation]:
    path = tree.paths[node]
    order = f"{path.rpartition('/')[0]}/order()"
    calm = (
        node.tag != after.tag  # a fixed sequence of different things (interface, body): the schema fixes the order
        or tree.noisy(order)
        or silent(tree, node)
        or silent(tree, after)
    )
    yield Mutation(f"swapped with {step(after)}", path, calm, edit(_swap), (order,))
    for name in tree.format.numbers:
        if name in node.attrib and name in after.attrib and node.get(name) != after.get(name):
            what = f"{name} exchanged with {step(after)}"
            yield Mutation(what, f"{path}/@{name}", False, edit(lambda n, k=name: _exchange(n, k)))


def silent(tree: Tree, node) -> bool:
    """Nothing below a node, itself included, may be seen."""
    path, noisy = tree.paths[node], tree.noisy
    if noisy(path) or noisy(f"{path}/removed()"):
        return True
    if node.text and node.text.strip():
        return False
    for name, value in node.attrib.items():
        where = f"{path}/@{name.rpartition('}')[2]}"
        named = step(node).lower().startswith("data[") and name == "name"  # says what its children are
        if not (named or noisy(where) or noisy(f"{where}={tree.format.meaning(node, name, str(value))}")):
            return False
    children = list(node)
    if not children:
        return noisy(f"{path}/empty()")
    return all(silent(tree, child) for child in children)


def _remove(node) -> None:
    node.getparent().remove(node)


def _swap(node) -> None:
    after = node.getnext()
    after.addnext(node)


def _exchange(node, name: str) -> None:
    after = node.getnext()
    one, two = node.get(name), after.get(name)
    node.set(name, two)
    after.set(name, one)


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


def named(path: Path) -> str:
    """A file by its folders, for the name of a test."""
    return "-".join(path.parts[-4:]).removesuffix(".xml")
