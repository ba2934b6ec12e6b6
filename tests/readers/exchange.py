"""What the mutations must know of each exchange format: its noise table, how its paths are written, how it is cut.

A step of a path may be marked, where the noise table speaks of some elements of a name only: ``[jump]`` is the point
of a convergence that a jump is drawn into, ``[idle]`` an output that no wire comes from, ``[numbered]`` a list whose
members all name their place, ``[drawn]`` a body without rungs, ``[said]`` a comment that stands in the declaration
text as well.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

from lxml import etree

from asfound.readers.iec61131_10.noise import NOISE as NEW_NOISE
from asfound.readers.noise_paths import matches
from asfound.readers.reader import Noise
from asfound.readers.residue import OF_DATA, TYPE, foreign, step
from asfound.readers.tc6.noise import HOLDERS
from asfound.readers.tc6.noise import NOISE as OLD_NOISE

KNOWN = (
    *HOLDERS,
    "sfc/element",
    "attributes",
    "tasksettings",
    "interfaceasplaintext",
    "objectid",
    "projectinformation",
)
NESTED = re.compile(rf".*/[dD]ata\[(?:{'|'.join(KNOWN)})\](?=/)")
"""Up to the last extension data that the readers look into."""
Node = etree._Element
Marks = dict[Node, str]
Pieces = Iterator[tuple[str, bytes]]


@dataclass(frozen=True)
class Format:
    """One exchange format.

    ``marks`` gives the step of every element that is marked, ``meaning`` the value of an attribute as the noise table
    spells it, ``change`` what giving it a new value (or none) amounts to, ``cut`` the pieces of a document that are
    read alike, and ``numbers`` are attributes that say which of two neighbours comes first.
    """

    noise: tuple[Noise, ...]
    marks: Callable[[Node], Marks]
    meaning: Callable[[Node, str, str], str]
    change: Callable[[Node, str, str | None], str]
    cut: Callable[[Node], Pieces]
    numbers: tuple[str, ...] = ()

    def noisy(self, path: str) -> bool:
        return _noisy(tuple(n.path for n in self.noise), path)


@lru_cache(maxsize=100_000)
def _noisy(patterns: tuple[str, ...], path: str) -> bool:
    """As the readers see it: in extension data that they do not look into, only rows about such data count."""
    inside = NESTED.sub("", path)
    strange = foreign(inside)
    return any(matches(p, path) for p in patterns if not strange or foreign(p) or p.endswith(OF_DATA))


def format_of(root: Node) -> Format:
    return NEW if "TC65SC65B" in (etree.QName(root).namespace or "") else OLD


def local(node: Node) -> str:
    return etree.QName(node).localname


def _bare(node: Node) -> str:
    """Text without white space and without the signs that begin and end a comment."""
    return re.sub(r"\s|//|\(\*|\*\)", "", "".join(node.itertext()))


# --- TC6 --------------------------------------------------------------------------------------------------------


def _old_marks(root: Node) -> Marks:
    jumps = {j.get("localId") for j in root.iter("{*}jumpStep")}
    points = (p for p in root.iter("{*}connectionPointIn") if local(p.getparent()).endswith("Convergence"))
    into = {p: "connectionPointIn[jump]" for p in points if any(c.get("refLocalId") in jumps for c in p)}
    return _said(root) | into


def _old_meaning(node: Node, name: str, value: str) -> str:
    """``first()`` for the name of the first output of the block a wire comes from, which may be left out."""
    if name != "formalParameter" or local(node) != "connection":
        return value
    body = next(a for a in node.iterancestors() if local(a) in ("LD", "FBD", "SFC"))
    pins = [
        pin.get("formalParameter")
        for block in body.iter("{*}block")
        if block.get("localId") == node.get("refLocalId")
        for pin in block.iterfind("{*}outputVariables/{*}variable")
        if pin.get("formalParameter", "").upper() != "ENO"
    ]
    steps = any(s.get("localId") == node.get("refLocalId") for s in body.iter("{*}step"))
    return "first()" if steps or pins[:1] == [value] else value


def _old_change(node: Node, name: str, new: str | None) -> str:
    """``nowhere()`` for a wire that came from no element and still does, ``same()`` for one that carries the same."""
    if name != "refLocalId":
        return ""
    body = next(a for a in node.iterancestors() if local(a) in ("LD", "FBD", "SFC"))
    known = {each.get("localId"): each for each in body if "localId" in each.attrib}
    old, other = known.get(node.get(name)), known.get(new)
    if old is None and other is None:
        return "nowhere()"
    same = (
        old is not None
        and other is not None
        and carried(old, known, "refLocalId") == carried(other, known, "refLocalId")
    )
    return "same()" if same else ""


def carried(
    element: Node, known: Mapping[str | None, Node], reference: str, seen: frozenset[Node] = frozenset()
) -> object:
    """What a wire from an element carries, by what is drawn alone: a coil and a branching pass on what reaches them, a
    contact adds its operand; anything else is only equal to itself."""
    wires = [known.get(wire.get(reference)) for wire in element.iter("{*}connection", "{*}Connection")]
    kind = (_kind(element) or local(element)).lower()
    if (
        None in wires
        or element in seen
        or kind not in ("contact", "coil", "selectiondivergence", "simultaneousdivergence")
    ):
        return element
    power = frozenset(carried(wire, known, reference, seen | {element}) for wire in wires if wire is not None)
    if kind != "contact":
        return next(iter(power)) if len(power) == 1 else power
    drawn = ("negated", "edge", "storage", "operand", "latch")
    said = tuple(element.get(name, "").replace("false", "").replace("none", "") for name in drawn)
    return said, element.findtext("{*}variable"), power


def _old_pieces(root: Node) -> Pieces:
    """The document without its POUs, each POU without its actions, each action."""
    space = etree.QName(root).namespace
    pous = list(root.iter("{*}pou"))
    for pou in pous:
        pou.getparent().remove(pou)
    yield "document", etree.tostring(root)
    for pou in pous:
        actions = list(pou.iterfind("{*}actions/{*}action"))
        for action in actions:
            action.getparent().remove(action)
        yield f"POU {pou.get('name')}", _within(space, ("project", "types", "pous"), copy.deepcopy(pou))
        for action in actions:
            holder = etree.Element(f"{{{space}}}pou", name="Holder", pouType="program")
            etree.SubElement(holder, f"{{{space}}}actions").append(action)
            yield f"action {pou.get('name')}.{action.get('name')}", _within(space, ("project", "types", "pous"), holder)


def _within(space: str | None, names: tuple[str, ...], inner: Node) -> bytes:
    root = at = etree.Element(f"{{{space}}}{names[0]}", nsmap={None: space})
    for name in names[1:]:
        at = etree.SubElement(at, f"{{{space}}}{name}")
    at.append(inner)
    return etree.tostring(root)


# --- IEC 61131-10 -----------------------------------------------------------------------------------------------

NUMBERED = ("Rung", "Network", "Variable", "DimensionSpec")
NUMBERS = ("evaluationOrder", "orderWithinParamSet", "dimensionNumber")
UNITS = ("Program", "FunctionBlock", "Function", "Class", "Interface")


def _new_marks(root: Node) -> Marks:
    found = _said(root)
    for node in root.iter("{*}*"):
        numbers = [_number(each) for each in node if local(each) in NUMBERED]
        if numbers and None not in numbers and len(set(numbers)) == len(numbers):
            found[node] = f"{step(node)}[numbered]"
    for holder in root.iter("{*}Parameters"):
        if all(each in found or not len(each) for each in holder):
            found[holder] = "Parameters[numbered]"
    for content in root.iter("{*}BodyContent"):
        found |= _body_marks(content)
        if any(local(o).endswith("Object") for o in content):
            found[content] = "BodyContent[drawn]"
    return found


def _number(node: Node) -> str | None:
    return next((node.get(name) for name in NUMBERS if name in node.attrib), None)


def _said(root: Node) -> Marks:
    """Comments that stand in the declaration text of an owner further out as well."""
    found: Marks = {}
    for add in root.iter("{*}addData", "{*}AddData"):
        for data in add:
            if str(data.get("name", "")).lower().endswith("interfaceasplaintext"):
                told = _bare(data)
                for text in add.getparent().iter("{*}documentation", "{*}Documentation"):
                    if _bare(text) in told:
                        found[text] = f"{local(text)}[said]"
    return found


def _body_marks(content: Node) -> Marks:
    found: Marks = {}
    rails = {c for o in content.iter("{*}LdObject") if _kind(o) == "RightPowerRail" for c in o.iter("{*}Connection")}
    used = {c.get("refConnectionPointOutId") for c in content.iter("{*}Connection") if c not in rails}
    jumps = {o.get("connectionPointOutId") for j in content.iter("{*}SfcObject") if _kind(j) == "JumpStep" for o in j}
    for point in content.iter("{*}ConnectionPointOut", "{*}ConnectionPointOutAction"):
        if _kind(point.getparent()) == "JumpStep":
            found[point] = "ConnectionPointOut[jump]"
        elif point.get("connectionPointOutId") not in used:
            found[point] = f"{local(point)}[idle]"
    for pin in content.iter("{*}OutputVariable"):
        if all(p in found for p in pin if local(p) == "ConnectionPointOut"):
            found[pin] = "OutputVariable[idle]"
    for point in content.iter("{*}ConnectionPointIn"):
        wires = {c.get("refConnectionPointOutId") for c in point}
        if _kind(point.getparent()).endswith("Convergence") and wires & jumps - {None}:
            found[point] = "ConnectionPointIn[jump]"
    return found


def _kind(node: Node) -> str:
    return str(node.get(TYPE, "")).rpartition(":")[2]


def _new_meaning(node: Node, name: str, value: str) -> str:
    """A type without its prefix, ``inner()`` where the only element inside says the same."""
    if name != TYPE:
        return value
    word = value.rpartition(":")[2]
    return "inner()" if [local(inner) for inner in node] == [word] else word


def _new_change(node: Node, name: str, new: str | None) -> str:
    """``ordered()`` for a number whose change leaves all members of the list in their places, ``nowhere()`` as above,
    ``same()`` for another output of the same element where all are one."""
    if name == "refConnectionPointOutId":
        body = next(a for a in node.iterancestors() if local(a) == "BodyContent")
        owners = {i: each.getparent() for each in body.iter("{*}*") if (i := each.get("connectionPointOutId"))}
        old, other = owners.get(node.get(name)), owners.get(new)
        if old is None and other is None:
            return "nowhere()"
        if old is None or other is None:
            return ""
        if old is other:
            return "same()" if local(old) == "SfcObject" or _kind(old) == "LeftPowerRail" else ""
        drawn = {
            i: next(a for a in (owner, *owner.iterancestors()) if local(a).endswith("Object"))
            for i, owner in owners.items()
        }
        one, two = drawn[node.get(name)], drawn[new]
        return "same()" if carried(one, drawn, name) == carried(two, drawn, name) else ""
    if name not in NUMBERS:
        return ""
    before = [(int(each.get(name)), at) for at, each in enumerate(node.getparent()) if name in each.attrib]
    at, missing = node.getparent().index(node), {"evaluationOrder": 10**9}.get(name, 0)
    after = [((missing if new is None else int(new)) if place == at else number, place) for number, place in before]
    if new is None and name == "orderWithinParamSet":
        after = [(place, place) for _, place in before]
    alike = [place for _, place in sorted(before)] == [place for _, place in sorted(after)]
    return "ordered()" if alike and len({number for number, _ in after}) == len(after) else ""


def _new_pieces(root: Node) -> Pieces:
    """The document without its POUs, each POU without its actions, each action; a lone declaration stays whole."""
    space = etree.QName(root).namespace
    if local(root) != "Project":
        yield "document", etree.tostring(root)
        return
    units = [u for u in root.iter("{*}*") if local(u) in UNITS]
    spaces = {u: [a.get("name", "") for a in u.iterancestors("{*}NamespaceDecl")] for u in units}
    for unit in units:
        unit.getparent().remove(unit)
    yield "document", etree.tostring(root)
    for unit in units:
        actions = list(unit.iterfind("{*}Actions/{*}Action"))
        for action in actions:
            action.getparent().remove(action)
        inner = copy.deepcopy(unit)
        for name in spaces[unit]:
            holder = etree.Element(f"{{{space}}}NamespaceDecl", name=name)
            holder.append(inner)
            inner = holder
        yield f"POU {unit.get('name')}", _within(space, ("Project", "Types", "GlobalNamespace"), inner)
        for action in actions:
            holder = etree.Element(f"{{{space}}}Program", name="Holder")
            etree.SubElement(holder, f"{{{space}}}Actions").append(action)
            where = ("Project", "Types", "GlobalNamespace")
            yield f"action {unit.get('name')}.{action.get('name')}", _within(space, where, holder)


OLD = Format(OLD_NOISE, _old_marks, _old_meaning, _old_change, _old_pieces)
NEW = Format(NEW_NOISE, _new_marks, _new_meaning, _new_change, _new_pieces, NUMBERS)

__all__ = ["NEW", "OLD", "Format", "format_of", "local", "step"]
