"""Keys of expressions and statements: texts that are equal when two pieces mean the same.

Two strengths. ``folded`` forgets spelling only: the case of names and the notation of literals. ``canonical`` also
forgets what no reader of a ladder would call a change of function: the order of the operands of AND, OR, XOR, ``=``,
``<>``, ``+`` and ``*``, repeated operands of AND and OR, double negation, the place of a negation (De Morgan) and the
side on which a comparison is written.

Cost: linear in the size of the piece, times a sort of the operands. Keys are texts, because a text remembers its hash;
nested tuples were slower by a factor of three.
Rejected: a truth table or decision diagram as key, exponential in the worst case and the proof engine does it better.
Known weakness: ``(a AND b) OR (a AND c)`` and ``a AND (b OR c)`` keep different keys; that is left to a proof. Operands
are not reordered where a function call could have a side effect (outputs written, or a function we do not know).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from asfound.language.literals import INTEGERS, value
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

Key = Callable[[Expression], str]

COMMUTATIVE = frozenset(("AND", "OR", "XOR", "=", "<>", "+", "*"))
IDEMPOTENT = frozenset(("AND", "OR"))
MIRRORED = {">": "<", ">=": "<="}
DUAL = {"AND": "OR", "OR": "AND"}
_FUNCTIONS = (
    "ABS SQRT LN LOG EXP SIN COS TAN ASIN ACOS ATAN ADD SUB MUL DIV MOD EXPT MOVE SHL SHR ROL ROR AND OR XOR NOT "
    "SEL MAX MIN LIMIT MUX GT GE EQ LE LT NE LEN LEFT RIGHT MID CONCAT INSERT DELETE REPLACE FIND TRUNC"
)
PURE = frozenset(_FUNCTIONS.split())
"""Standard functions without side effects (IEC 61131-3:2013 tables 28 to 35, from memory); ``A_TO_B`` as well."""


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


def canonical(expression: Expression) -> str:
    """Key in which order of commutative operands and the place of a negation do not matter either."""
    return folded(ordered(expression))


def literal_key(text: str) -> str:
    """Kind and value of a literal, and its type where it names one: ``INT#1`` and ``DINT#1`` overflow elsewhere."""
    kind, content = value(text)
    prefix = text.partition("#")[0].strip().upper()
    return f"{prefix}#{content}" if kind == "int" and prefix in INTEGERS else f"{kind}:{content}"


def ordered(expression: Expression, negated: bool = False) -> Expression:
    """Negations pushed inwards through AND and OR, then operands flattened, sorted and made unique."""
    match expression:
        case Operation("NOT", (inner,)):
            return ordered(inner, not negated)
        case Operation("AND" | "OR" as operator, operands):
            new = DUAL[operator] if negated else operator
            return _sorted(new, tuple(ordered(o, negated) for o in operands))
        case Operation("=" | "<>" as operator, operands):
            new = {"=": "<>", "<>": "="}[operator] if negated else operator
            return _sorted(new, tuple(ordered(o) for o in operands))
        case Literal(text="TRUE" | "FALSE" as text) if negated:
            return Literal("FALSE" if text == "TRUE" else "TRUE")
    plain = _inside(expression)
    return Operation("NOT", (plain,)) if negated else plain


def _inside(expression: Expression) -> Expression:
    match expression:
        case Operation(operator, (left, right)) if operator in MIRRORED:
            return Operation(MIRRORED[operator], (ordered(right), ordered(left)))
        case Operation(operator, operands):
            return _sorted(operator, tuple(ordered(o) for o in operands))
        case Edge(kind, of):
            return Edge(kind, ordered(of))
        case Member(of, name):
            return Member(ordered(of), name)
        case Element(of, indexes):
            return Element(ordered(of), tuple(ordered(i) for i in indexes))
        case Dereference(of):
            return Dereference(ordered(of))
        case Invocation(function, inputs, outputs):
            return Invocation(function, tuple(Argument(a.name, ordered(a.value), a.negated) for a in inputs), outputs)
    return expression


def _sorted(operator: str, operands: tuple[Expression, ...]) -> Expression:
    flat = tuple(_flattened(operator, operands)) if operator in ("AND", "OR", "XOR") else operands
    if operator not in COMMUTATIVE or not all(map(pure, flat)):
        return Operation(operator, flat)
    by_key = sorted(((folded(o), o) for o in flat), key=lambda pair: pair[0])
    if operator in IDEMPOTENT:
        by_key = [pair for n, pair in enumerate(by_key) if n == 0 or pair[0] != by_key[n - 1][0]]
    if len(by_key) == 1:
        return by_key[0][1]
    return Operation(operator, tuple(o for _, o in by_key))


def _flattened(operator: str, operands: Iterable[Expression]) -> Iterable[Expression]:
    for operand in operands:
        if isinstance(operand, Operation) and operand.operator == operator:
            yield from operand.operands
        else:
            yield operand


def pure(expression: Expression) -> bool:
    """True when evaluating the expression cannot change anything (edges keep a memory each, but do not interfere)."""
    match expression:
        case Variable() | Literal() | Direct() | Temporary():
            return True
        case Operation(operands=operands):
            return all(map(pure, operands))
        case Edge(of=of) | Member(of=of) | Dereference(of=of):
            return pure(of)
        case Element(of=of, indexes=indexes):
            return pure(of) and all(map(pure, indexes))
        case Invocation(Variable(name), inputs, ()):
            known = name.upper() in PURE or "_TO_" in name.upper()
            return known and all(pure(a.value) for a in inputs)
    return False


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
            pins = f"{_pins(inputs, key)}|{_pins(outputs, key)}"
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


def _pins(arguments: tuple[Argument, ...], key: Key) -> str:
    """Named pins of a block in alphabetical order: the order of named arguments has no meaning."""
    if any(not a.name for a in arguments):
        return _arguments(arguments, key)
    return _arguments(tuple(sorted(arguments, key=lambda a: a.name.lower())), key)


def sequence_key(statements: Iterable[Statement], key: Key = canonical) -> str:
    """Key of a list of statements, remarks left out."""
    return ";".join(statement_key(s, key) for s in statements if not isinstance(s, Remark))


def network_key(network: Network) -> str:
    """Key of a rung: its label and what it does, without title and comment."""
    leftovers = ";".join(network.leftovers)
    more = ";".join(f"{x.path}={x.text}" for x in network.extensions)
    return f"{network.label.lower()}: {sequence_key(network.statements)} / {leftovers} / {more}"
