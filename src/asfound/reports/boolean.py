"""Which expressions carry power on a ladder rung, judged from their form and from the declared types when known."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from asfound.language.standard import COMPARISONS, LOGIC
from asfound.model.logic import (
    Argument,
    Assign,
    Dereference,
    Direct,
    Edge,
    Element,
    Expression,
    Invocation,
    Literal,
    Member,
    Operation,
    Temporary,
    Unparsed,
    Variable,
)

_PINS = {
    "en": "", "clk": "", "cu": "", "cd": "", "s": "", "r": "", "s1": "", "r1": "", "set": "", "reset": "", "ld": "",
    "load": "", "in": "tp ton tof", "q1": "",
}  # fmt: skip
"""Boolean inputs of the standard function blocks by folded name, with the types for which the name is Boolean
(empty: any; IEC 61131-3:2013 tables 43 to 46, from memory)."""


def simple(value: Expression) -> bool:
    """True for what fits on one contact: a name, an address, an element, a constant."""
    return isinstance(value, Variable | Direct | Temporary | Member | Element | Dereference | Literal | Unparsed)


def constant(value: Expression) -> bool:
    """True for a literal, signed or not."""
    return isinstance(value, Literal) or (
        isinstance(value, Operation) and value.operator == "NEG" and isinstance(value.operands[0], Literal)
    )


def known(value: Expression, types: Mapping[str, str]) -> bool | None:
    """Whether a name or constant is Boolean; None when neither its form nor its declaration says so."""
    if isinstance(value, Literal):
        text = value.text.upper()
        return text in ("TRUE", "FALSE") or text.startswith("BOOL#")
    if isinstance(value, Direct):
        return not value.address.startswith(
            ("%IB", "%IW", "%ID", "%IL", "%QB", "%QW", "%QD", "%QL", "%MB", "%MW", "%MD", "%ML")
        )
    if isinstance(value, Variable):
        type_ = types.get(value.name.lower(), "").upper()
        return type_ in ("BOOL", "SAFEBOOL", "R_EDGE", "F_EDGE") if type_ else None
    if isinstance(value, Member):
        return _member(value, types)
    return None


def _member(value: Member, types: Mapping[str, str]) -> bool | None:
    name = value.name.lower()
    if name.removeprefix("%x").isdigit():
        return True
    if isinstance(value.of, Variable) and f"{value.of.name}.{value.name}".lower() in types:
        return types[f"{value.of.name}.{value.name}".lower()].upper() == "BOOL"
    return {"q": True, "qu": True, "qd": True, "et": False, "cv": False, "pt": False, "pv": False}.get(name)


def power(value: Expression, types: Mapping[str, str]) -> bool:
    """True when the form of a compound says that it is Boolean; a name alone never does."""
    if isinstance(value, Edge):
        return True
    if not isinstance(value, Operation):
        return False
    if value.operator in COMPARISONS:
        return True
    return value.operator in LOGIC and all(known(leaf, types) is not False for leaf in _leaves(value))


def _leaves(value: Expression) -> Iterator[Expression]:
    """What the Boolean operators of ``value`` work on."""
    if isinstance(value, Operation) and value.operator in LOGIC:
        for operand in value.operands:
            yield from _leaves(operand)
    else:
        yield value


def assigned(statement: Assign, types: Mapping[str, str]) -> bool:
    """True when the statement is a coil: what it writes, or what flows into it, is Boolean."""
    if statement.kind != "assign":
        return True
    target = known(statement.target, types)
    if target is not None:
        return target
    if isinstance(statement.value, Operation | Edge):
        return power(statement.value, types)
    return not isinstance(statement.value, Invocation) and known(statement.value, types) is not False


def pin(argument: Argument, type_: str, types: Mapping[str, str]) -> bool:
    """True when an input of a block is drawn as contacts from the rail."""
    if power(argument.value, types):
        return True
    if not simple(argument.value):
        return False
    names = _PINS.get(argument.name.lower())
    right_type = names is not None and (not names or type_.lower() in names.split())
    return right_type and known(argument.value, types) is not False
