"""Keys of expressions and statements: texts that are equal when two pieces mean the same.

Two strengths. ``folded`` forgets spelling only: the case of names and the notation of literals. ``canonical`` also
forgets what no reader of a ladder would call a change of function: the order of the operands of AND, OR, XOR, ``=``,
``<>``, ``+`` and ``*``, repeated operands of AND and OR, double negation, the place of a negation (De Morgan), the
side on which a comparison is written, and AND and OR written as functions.

What can write (a call of anything but a standard function) keeps its place among operands, and AND and OR keep the
order around what can fail: their order is a guard (language/evaluation.py). ``Canonical`` with the names that a copy
declares itself treats these as calls of the program, whatever they look like.
Cost: linear in the size of the piece, times a sort of the operands. Keys are texts, because a text remembers its hash;
nested tuples were slower by a factor of three.
Rejected: a truth table or decision diagram as key, exponential in the worst case and the proof engine does it better.
Known weakness: ``(a AND b) OR (a AND c)`` and ``a AND (b OR c)`` keep different keys; that is left to a proof. Three
summands are not reordered: REAL rounds by the way they are grouped.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import groupby

from asfound.language.elementary import INTEGERS, REALS
from asfound.language.evaluation import Risk, risk
from asfound.language.literals import value
from asfound.language.walk import invocations, names_in, root, walk
from asfound.model.logic import (
    Argument,
    Assign,
    Branch,
    Call,
    Case,
    Dereference,
    Direct,
    Edge,
    Element,
    Expression,
    For,
    If,
    Invocation,
    Jump,
    Label,
    Literal,
    Member,
    Operation,
    Remark,
    Repeat,
    Return,
    Span,
    Statement,
    Temporary,
    Unparsed,
    Variable,
    Verbatim,
    While,
)
from asfound.model.program import Network
from asfound.model.tree import EXPRESSIONS

Key = Callable[[Expression], str]

COMMUTATIVE = frozenset(("AND", "OR", "XOR", "=", "<>", "+", "*"))
MIRRORED = {">": "<", ">=": "<="}
DUAL = {"AND": "OR", "OR": "AND"}
_TEXTS = ("string", "wstring")


def folded(expression: Expression) -> str:
    """Key in which the case of names and the notation of literals do not matter."""
    match expression:
        case Variable(name=name):
            return name.lower()
        case Operation(operator=operator, operands=operands):
            return f"({operator} {' '.join(map(folded, operands))})"
        case Literal(text=text):
            return literal_key(text)
        case Direct(address=address):
            return address.upper()
        case Member(of=of, name=name):
            return f"{folded(of)}.{name.lower()}"
        case Edge(kind=kind, of=of):
            return f"({kind} {folded(of)})"
        case Element(of=of, indexes=indexes):
            return f"{folded(of)}[{','.join(map(folded, indexes))}]"
        case Dereference(of=of):
            return f"{folded(of)}^"
        case Temporary(number=number):
            return f"_v{number}"
        case Invocation(function=function, inputs=inputs, outputs=outputs):
            return f"{folded(function)}({_arguments(inputs, folded)}|{_arguments(outputs, folded)})"
        case Unparsed(text=text):
            return f"`{text}`"
    raise AssertionError(expression)


def literal_key(text: str) -> str:
    """Kind and value of a literal, and its type where it names one: ``INT#1`` and ``DINT#1`` overflow elsewhere, and
    ``REAL#0.1`` is not ``LREAL#0.1``."""
    kind, content = value(text)
    prefix = text.partition("#")[0].strip().upper()
    if kind == "duration":
        return f"{'LTIME' if prefix in ('LT', 'LTIME') else 'TIME'}#{content}"
    return f"{prefix}#{content}" if kind in ("int", "real") and prefix in INTEGERS | REALS else f"{kind}:{content}"


@dataclass(frozen=True)
class Canonical:
    """Key in which order of commutative operands and the place of a negation do not matter either.

    ``declared`` are folded names that run code of the program: functions named like standard ones, and properties.
    """

    declared: frozenset[str] = frozenset()

    def __call__(self, expression: Expression) -> str:
        """The key of an expression."""
        return folded(self.ordered(expression))

    def ordered(self, expression: Expression, negated: bool = False) -> Expression:
        """Negations pushed inwards through AND and OR, then operands flattened, sorted and made unique."""
        match expression:
            case Operation("NOT", (inner,)):
                return self.ordered(inner, not negated)
            case Operation("AND" | "OR" as operator, operands):
                return self._joined(operator, operands, negated)
            case Operation("=" | "<>" as operator, operands):
                new = {"=": "<>", "<>": "="}[operator] if negated else operator
                return self._sorted(new, tuple(self.ordered(o) for o in operands))
            case Literal(text="TRUE" | "FALSE" as text) if negated:
                return Literal("FALSE" if text == "TRUE" else "TRUE")
            case Invocation(Variable("AND" | "OR" as operator), inputs, ()) if self._is_plain(operator, inputs):
                return self._joined(operator, tuple(a.value for a in inputs), negated)
        plain = self._inside(expression)
        return Operation("NOT", (plain,)) if negated else plain

    def _is_plain(self, operator: str, inputs: tuple[Argument, ...]) -> bool:
        """Is a function AND or OR nothing but another way to write the operator?"""
        names = [a.name.upper() for a in inputs]
        numbered = not any(names) or names == [f"IN{n}" for n in range(1, len(names) + 1)]
        unknown = operator.lower() in self.declared or len(inputs) < 2 or not numbered
        return not unknown and not any(self._risk(a.value) for a in inputs)

    def _joined(self, operator: str, operands: tuple[Expression, ...], negated: bool) -> Expression:
        """AND or OR; a negation goes inside only where nothing depends on the order in which it is taken."""
        if negated and any(map(self._risk, operands)):
            return Operation("NOT", (self._joined(operator, operands, False),))
        new = DUAL[operator] if negated else operator
        flat = tuple(_flattened(new, (self.ordered(o, negated) for o in operands)))
        runs: list[Expression] = []
        for free, group in groupby(flat, key=lambda o: self._risk(o) == Risk.NONE):
            same = list(group)
            runs += _unique(same) if free else same
        return runs[0] if len(runs) == 1 else Operation(new, tuple(runs))

    def _inside(self, expression: Expression) -> Expression:
        match expression:
            case Operation(operator, (left, right)) if operator in MIRRORED:
                if self._writes((left, right)):
                    return Operation(operator, (self.ordered(left), self.ordered(right)))
                return Operation(MIRRORED[operator], (self.ordered(right), self.ordered(left)))
            case Operation(operator, operands):
                return self._sorted(operator, tuple(self.ordered(o) for o in operands))
            case Invocation(function, inputs, outputs):
                given = tuple(Argument(a.name, self.ordered(a.value), a.negated) for a in inputs)
                return Invocation(function, given, outputs)
        return EXPRESSIONS.rebuilt(expression, self.ordered)

    def _sorted(self, operator: str, operands: tuple[Expression, ...]) -> Expression:
        """Operands that are all taken, whatever they are."""
        flat = tuple(_flattened(operator, operands)) if operator == "XOR" else operands
        if operator not in COMMUTATIVE or self._writes(flat) or (operator == "+" and any(map(_is_text, flat))):
            return Operation(operator, flat)
        return Operation(operator, tuple(sorted(flat, key=folded)))

    def _risk(self, expression: Expression) -> Risk:
        return risk(expression, self.declared)

    def _writes(self, operands: Iterable[Expression]) -> bool:
        return any(self._risk(o) == Risk.WRITES for o in operands)


canonical = Canonical()


def _unique(operands: Iterable[Expression]) -> list[Expression]:
    """Sorted, each once."""
    by_key = {folded(o): o for o in operands}
    return [by_key[key] for key in sorted(by_key)]


def _is_text(operand: Expression) -> bool:
    return isinstance(operand, Literal) and value(operand.text)[0] in _TEXTS


def _flattened(operator: str, operands: Iterable[Expression]) -> Iterable[Expression]:
    for operand in operands:
        if isinstance(operand, Operation) and operand.operator == operator:
            yield from operand.operands
        else:
            yield operand


def _arguments(arguments: tuple[Argument, ...], key: Key) -> str:
    return ",".join(f"{a.name.lower()}{'!' if a.negated else ''}={key(a.value)}" for a in arguments)


def _maybe(expression: Expression | None, key: Key) -> str:
    return "" if expression is None else key(expression)


def statement_key(statement: Statement, key: Key = canonical) -> str:
    """Key of a whole statement with everything nested in it; remarks inside count as nothing."""
    match statement:
        case Assign(target, content, kind, condition):
            return f"{kind} {_maybe(condition, key)}? {folded(target)}:={key(content)}"
        case Call(instance, type, inputs, outputs, condition):
            pins = f"{_pins(inputs, key, root(instance))}|{_outgoing(outputs, key)}"
            return f"call {_maybe(condition, key)}? {folded(instance)}:{type.lower()}({pins})"
        case Jump(label, condition):
            return f"jump {_maybe(condition, key)}? {label.lower()}"
        case Label(name):
            return f"label {name.lower()}"
        case Return(condition):
            return f"return {_maybe(condition, key)}?"
        case If(branches, otherwise):
            arms = ";".join(_branch(b, key) for b in branches)
            return f"if {arms} else {{{sequence_key(otherwise, key)}}}"
        case Case(selector, arms, otherwise):
            text = ";".join(f"{labels_key(a.labels, key)}{{{sequence_key(a.statements, key)}}}" for a in arms)
            return f"case {key(selector)} {text} else {{{sequence_key(otherwise, key)}}}"
        case For(variable, first, last, step, statements):
            head = f"{folded(variable)} {key(first)}..{key(last)} by {_maybe(step, key)}"
            return f"for {head} {{{sequence_key(statements, key)}}}"
        case While(condition, statements):
            return f"while {key(condition)} {{{sequence_key(statements, key)}}}"
        case Repeat(statements, until):
            return f"repeat {{{sequence_key(statements, key)}}} until {key(until)}"
        case Verbatim(text):
            return f"verbatim `{text}`"
        case Remark(text):
            return f"remark `{text}`"
    return type_name(statement)


def type_name(statement: Statement) -> str:
    """``exit`` or ``continue``: statements without a part."""
    return type(statement).__name__.lower()


def _branch(branch: Branch, key: Key) -> str:
    return f"{key(branch.condition)}{{{sequence_key(branch.statements, key)}}}"


def labels_key(labels: Iterable[Expression | Span], key: Key = canonical) -> str:
    """Key of the labels of one ``CASE`` arm."""
    texts = (f"{key(x.low)}..{key(x.high)}" if isinstance(x, Span) else key(x) for x in labels)
    return ",".join(sorted(texts))


def _pins(arguments: tuple[Argument, ...], key: Key, block: str) -> str:
    """Named pins of a block in alphabetical order: it has no meaning, unless one of them writes or reads the block."""
    acts = any(_writes(a.value, key) or block in names_in(a.value) for a in arguments)
    if any(not a.name for a in arguments) or acts:
        return _arguments(arguments, key)
    return _arguments(tuple(sorted(arguments, key=lambda a: a.name.lower())), key)


def _writes(value: Expression, key: Key) -> bool:
    """Whether it may; a key that does not know the names of the program takes no function for the standard's."""
    if isinstance(key, Canonical):
        return risk(value, key.declared) == Risk.WRITES
    return risk(value) == Risk.WRITES or any(True for _ in invocations(value))


def _outgoing(arguments: tuple[Argument, ...], key: Key) -> str:
    """The same for outputs, unless two of them may be written to one place: then the last one stays."""
    roots = {root(a.value) for a in arguments}
    direct = any(isinstance(a.value, Direct) for a in arguments)
    indexed = any(isinstance(n, Element | Dereference) for a in arguments for n in walk(a.value))
    ordered = len(arguments) > 1 and (direct or indexed or len(roots) < len(arguments))
    return _arguments(arguments, key) if ordered else _pins(arguments, key, "")


def sequence_key(statements: Iterable[Statement], key: Key = canonical) -> str:
    """Key of a list of statements, remarks left out."""
    return ";".join(statement_key(s, key) for s in statements if not isinstance(s, Remark))


def network_key(network: Network, key: Key = canonical) -> str:
    """Key of a rung: its label and what it does, without title and comment."""
    leftovers = ";".join(network.leftovers)
    more = ";".join(f"{x.path}={x.text}" for x in network.extensions)
    return f"{network.label.lower()}: {sequence_key(network.statements, key)} / {leftovers} / {more}"
