"""The one small language that all five IEC 61131-3 languages become.

A ladder rung is an :class:`Assign` whose value is the power flow, a function block network is the data flow written
the same way, structured text keeps its branches and loops, and a sequential chart wraps the same statements in steps
and transitions (see :mod:`asfound.model.program`).

Everything here is immutable and has no behaviour. Names keep the spelling of the export; whoever compares them folds
the case (IEC 61131-3: identifiers and keywords are case-insensitive).
"""

from __future__ import annotations

from typing import Literal as Choice

import msgspec


class Node(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """Base of every model struct: frozen, refuses unknown fields when read from JSON."""


# --- expressions ------------------------------------------------------------------------------------------------


class Literal(Node, frozen=True, tag="literal", tag_field="node"):
    """A constant in its canonical spelling (``TRUE``, ``T#1s500ms``, ``16#FF``, ``INT#5``, ``'text'``)."""

    text: str


class Variable(Node, frozen=True, tag="variable", tag_field="node"):
    """A variable by its declared name; members and elements of it are :class:`Member` and :class:`Element`."""

    name: str


class Direct(Node, frozen=True, tag="direct", tag_field="node"):
    """A directly represented variable, ``%IX0.0``; the text is upper case and without blanks."""

    address: str


class Temporary(Node, frozen=True, tag="temporary", tag_field="node"):
    """A wire without a name whose value is needed later; numbered from 1 inside its own network.

    ``origin`` is what people call it, by where it comes from: ``SR5.Q``, ``ADD.OUT``. It names, and decides nothing.
    """

    number: int
    origin: str = ""


class Member(Node, frozen=True, tag="member", tag_field="node"):
    """``of.name``: a structure member, a pin of an instance, or a bit (``word.3``, ``word.%X3``)."""

    of: Expression
    name: str


class Element(Node, frozen=True, tag="element", tag_field="node"):
    """``of[i, j]``: an array element."""

    of: Expression
    indexes: tuple[Expression, ...]


class Dereference(Node, frozen=True, tag="dereference", tag_field="node"):
    """``of^``: what a reference points at."""

    of: Expression


class Operation(Node, frozen=True, tag="operation", tag_field="node"):
    """An operator on its operands.

    Operators: ``AND OR XOR`` (two or more operands, nested ones of the same operator flattened), ``NOT``, ``NEG``
    (unary minus), ``+ - * / MOD **`` and ``= <> < <= > >=`` (always two, grouped from the left). ``&`` is ``AND``.
    """

    operator: str
    operands: tuple[Expression, ...]


class Edge(Node, frozen=True, tag="edge", tag_field="node"):
    """True in the one cycle in which ``of`` rises (or falls). Each occurrence has a memory of its own."""

    kind: Choice["rising", "falling"]
    of: Expression


class Argument(Node, frozen=True):
    """One actual parameter. ``name`` is empty when the argument is positional."""

    name: str
    value: Expression
    negated: bool = False
    """Only for outputs, ``NOT Q => x``: the value is inverted on its way out."""


class Invocation(Node, frozen=True, tag="invocation", tag_field="node"):
    """A function (or method) used as a value. ``function`` is an expression, so that ``instance.method(...)`` fits."""

    function: Expression
    inputs: tuple[Argument, ...] = ()
    outputs: tuple[Argument, ...] = ()


class Unparsed(Node, frozen=True, tag="unparsed", tag_field="node"):
    """An expression that could not be understood, kept verbatim: equal only to the same text."""

    text: str


Expression = (
    Literal | Variable | Direct | Temporary | Member | Element | Dereference | Operation | Edge | Invocation | Unparsed
)


# --- statements -------------------------------------------------------------------------------------------------


class Assign(Node, frozen=True, tag="assign", tag_field="node"):
    """Write ``value`` to ``target``.

    ``kind``: ``assign`` plain; ``set`` writes TRUE when ``value`` is TRUE, else keeps the target; ``reset`` writes
    FALSE when ``value`` is TRUE; ``reference``: ``target`` refers to ``value`` from now on; ``attempt``: so too, or to
    nothing where the types do not fit.
    With a ``condition`` (an EN chain) the statement only runs when the condition is TRUE.
    """

    target: Expression
    value: Expression
    kind: Choice["assign", "set", "reset", "reference", "attempt"] = "assign"
    condition: Expression | None = None


class Call(Node, frozen=True, tag="call", tag_field="node"):
    """Run a function block instance, an action, a method or a function whose result nobody keeps.

    ``type`` is the declared type of the instance when known. An enable pin stays among the inputs as ``EN``.
    ``condition`` as for :class:`Assign` (IL ``CALC``).
    """

    instance: Expression
    type: str = ""
    inputs: tuple[Argument, ...] = ()
    outputs: tuple[Argument, ...] = ()
    condition: Expression | None = None


class Jump(Node, frozen=True, tag="jump", tag_field="node"):
    """Go to a :class:`Label` of the same body, always or when the condition is TRUE."""

    label: str
    condition: Expression | None = None


class Label(Node, frozen=True, tag="label", tag_field="node"):
    """Where a :class:`Jump` of the same body goes on."""

    name: str


class Return(Node, frozen=True, tag="return", tag_field="node"):
    """Leave the body, always or when the condition is TRUE."""

    condition: Expression | None = None


class Branch(Node, frozen=True):
    """One ``IF``/``ELSIF`` arm."""

    condition: Expression
    statements: tuple[Statement, ...]


class If(Node, frozen=True, tag="if", tag_field="node"):
    """``IF``: the first branch whose condition is TRUE, else ``otherwise``."""

    branches: tuple[Branch, ...]
    otherwise: tuple[Statement, ...] = ()


class Span(Node, frozen=True, tag="span", tag_field="node"):
    """``low..high`` among the labels of a ``CASE`` arm."""

    low: Expression
    high: Expression


class CaseArm(Node, frozen=True):
    """One arm of a ``CASE``: its labels, in the order of the export, and what runs for any of them."""

    labels: tuple[Expression | Span, ...]
    statements: tuple[Statement, ...]


class Case(Node, frozen=True, tag="case", tag_field="node"):
    """``CASE``: the first arm with a label that equals the selector, else ``otherwise``."""

    selector: Expression
    arms: tuple[CaseArm, ...]
    otherwise: tuple[Statement, ...] = ()


class For(Node, frozen=True, tag="for", tag_field="node"):
    """``FOR variable := first TO last BY step``; without a ``step`` it is 1."""

    variable: Expression
    first: Expression
    last: Expression
    step: Expression | None
    statements: tuple[Statement, ...]


class While(Node, frozen=True, tag="while", tag_field="node"):
    """``WHILE``: the condition is asked before each turn."""

    condition: Expression
    statements: tuple[Statement, ...]


class Repeat(Node, frozen=True, tag="repeat", tag_field="node"):
    """``REPEAT``: ``until`` is asked after each turn."""

    statements: tuple[Statement, ...]
    until: Expression


class Exit(Node, frozen=True, tag="exit", tag_field="node"):
    """Leave the innermost loop."""


class Continue(Node, frozen=True, tag="continue", tag_field="node"):
    """Start the next turn of the innermost loop."""


class Verbatim(Node, frozen=True, tag="verbatim", tag_field="node"):
    """Text of a body that could not be understood (or code in ``{...}``), kept as written and compared as text."""

    text: str


class Remark(Node, frozen=True, tag="remark", tag_field="node"):
    """A comment between statements; white space inside is collapsed. No effect on what the machine does."""

    text: str


Statement = (
    Assign | Call | Jump | Label | Return | If | Case | For | While | Repeat | Exit | Continue | Verbatim | Remark
)
