"""Doubts about the order of a diagram as text: statements by what they write, so that a new rung changes no other line.

>>> from asfound.model.logic import Assign, Variable
>>> from asfound.model.program import Doubt, Network
>>> rungs = [Network((Assign(Variable("Pump"), Variable(source)),)) for source in ("a", "b")]
>>> said(Doubt("file order", "before", ((1, 0), (0, 0))), rungs)
'by file order Pump (2) runs before Pump (1)'
>>> understood('by file order Pump (2) runs before Pump (1)', rungs).places
((1, 0), (0, 0))
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Sequence

from asfound.language.readable import expression
from asfound.language.walk import writes
from asfound.model.logic import Assign, Call, Jump, Return, Statement, Temporary
from asfound.model.program import Doubt, Network, Spot

_BY = "by (file order|numbers of coils) "
_FORMS = {
    "before": re.compile(_BY + "(.*) runs before (.*)", re.DOTALL),
    "as": re.compile(_BY + "the blocks run as (.*)", re.DOTALL),
    "label": re.compile(_BY + "label (.*?) stands before (.*)", re.DOTALL),
    "value": re.compile(_BY + "a value is read before or after it is written"),
}


def said(doubt: Doubt, networks: Sequence[Network]) -> str:
    """One line of the normal form."""
    names = dict(_names(networks, statement_name))
    at = [names[spot] for spot in doubt.places]
    match doubt.kind:
        case "before":
            return f"by {doubt.by} {at[0]} runs before {at[1]}"
        case "as":
            return f"by {doubt.by} the blocks run as {' then '.join(at)}"
        case "label":
            return f"by {doubt.by} label {doubt.text} stands before {at[0] if at else 'the end'}"
        case "value":
            return f"by {doubt.by} a value is read before or after it is written"
    return doubt.text


def understood(text: str, networks: Sequence[Network]) -> Doubt:
    """The doubt that a line tells; what is worded in another way is kept as it is."""
    spots = {name: spot for spelled in (_numbered, statement_name) for spot, name in _names(networks, spelled)}
    for kind, form in _FORMS.items():
        found = form.fullmatch(text)
        if found is None:
            continue
        by, *rest = found.groups()
        label = rest.pop(0) if kind == "label" else ""
        names = rest[0].split(" then ") if kind == "as" else [name for name in rest if name != "the end"]
        if all(name in spots for name in names):
            return Doubt(by, kind, tuple(spots[name] for name in names), label)  # type: ignore[arg-type]
    return Doubt("", "said", (), text)


def _names(networks: Sequence[Network], spelled: Callable[[Statement], str]) -> list[tuple[Spot, str]]:
    """Each statement by what it writes; those that write the same are numbered, from 1."""
    found = [((n, s), spelled(each)) for n, network in enumerate(networks) for s, each in enumerate(network.statements)]
    total, seen = Counter(name for _, name in found), Counter[str]()
    named = []
    for spot, name in found:
        seen[name] += 1
        named.append((spot, f"{name} ({seen[name]})" if total[name] > 1 else name))
    return named


def _numbered(statement: Statement) -> str:
    """How normal forms of before called a statement: a wire by its number."""
    wire = statement.target if isinstance(statement, Assign) else None
    return f"_v{wire.number}" if isinstance(wire, Temporary) else statement_name(statement)


def statement_name(statement: Statement) -> str:
    """What a statement writes, calls or jumps to."""
    match statement:
        case Assign(target=target):
            return expression(target)
        case Call(instance=instance):
            return expression(instance)
        case Jump(label=label):
            return f"JMP {label}"
        case Return():
            return "RETURN"
    return " and ".join(sorted(writes(statement))) or "what writes nothing"
