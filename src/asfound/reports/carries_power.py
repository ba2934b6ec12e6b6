"""Which expressions carry power on a ladder rung, judged from their form and from the declared types when known."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from asfound.language.standard import BLOCKS, COMPARISONS, LOGIC, block
from asfound.model.logic import (
    Argument,
    Assign,
    Call,
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

_PINS = frozenset(
    pin.name.lower() for block in BLOCKS.values() for pin in block.inputs if pin.type == "BOOL" and pin.name != "IN"
) | {"en", "set", "reset", "load", "q1"}
"""Names of inputs that are Boolean whatever the block is: of the standard's blocks, but ``IN``, and common practice."""
_MEMBERS = {
    name: type == "BOOL" for block in BLOCKS.values() for name, type in block.pins.items()
    if type != "BOOL" or name.startswith("q")
}  # fmt: skip


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
    return _MEMBERS.get(name)


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


def pin(argument: Argument, call: Call, types: Mapping[str, str]) -> bool:
    """True when an input of a block is drawn as contacts from the rail."""
    if power(argument.value, types):
        return True
    if not simple(argument.value):
        return False
    name, owner = argument.name.lower(), call.instance.name.lower() if isinstance(call.instance, Variable) else ""
    standard = block(call.type)
    type_ = types.get(f"{owner}.{name}") or (standard.pins.get(name) if standard else "")
    return (type_.upper() == "BOOL" if type_ else name in _PINS) and known(argument.value, types) is not False
