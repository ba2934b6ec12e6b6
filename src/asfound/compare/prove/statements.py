"""Do two short pieces of a program leave the same values behind, whatever they start from?

Both are executed symbolically over the same starting values: an assignment replaces a value, a set coil ORs, a reset
coil ANDs NOT, an IF merges both ways. Then every written variable is compared with :mod:`asfound.compare.prove.rung`.
Cost: linear in the text, formulas are shared; then as for a proof.
Known weakness: calls, loops, CASE, jumps and elements at a variable index are not executed; the answer is ``unknown``.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from asfound.compare.canonical import folded
from asfound.compare.prove.rung import LIMIT_MS, Proof, candidates, decide
from asfound.compare.prove.sorts import WIDTHS
from asfound.compare.prove.translate import Translator, Unsupported
from asfound.language.printer import expression as text
from asfound.language.walk import walk
from asfound.model.logic import (
    Assign,
    Branch,
    Element,
    Expression,
    If,
    Invocation,
    Literal,
    Remark,
    Statement,
)

State = dict[str, Any]


def prove_statements(
    old: Sequence[Statement], new: Sequence[Statement], types: Mapping[str, str], limit_ms: int = LIMIT_MS
) -> Proof:
    """Compare what two pieces write; ``types`` gives the declared type by folded access text."""
    translator = Translator(types)
    targets: dict[str, tuple[str, str]] = {}
    try:
        for statement in (*old, *new):
            _collect(statement, translator, targets)
        roots = _roots(targets)
        translator.written = frozenset()
        start = {key: translator.term(_access(key, old, new), type) for key, (_, type) in targets.items()}
        translator.written = roots
        before = _run(old, translator, dict(start), targets)
        after = _run(new, translator, dict(start), targets)
    except Unsupported:
        return Proof("unknown")
    results = [(name, type, before[key], after[key]) for key, (name, type) in sorted(targets.items())]
    return decide(translator, results, candidates(tuple(_expressions((*old, *new)))), limit_ms)


def _collect(statement: Statement, translator: Translator, targets: dict[str, tuple[str, str]]) -> None:
    match statement:
        case Assign(target, content, kind, _) if kind != "reference":
            if any(isinstance(n, Element) and not all(isinstance(i, Literal) for i in n.indexes) for n in walk(target)):
                raise Unsupported
            type = translator.type_of(target) or _type_of_value(translator, content)
            known = targets.setdefault(folded(target), (text(target), "BOOL" if kind != "assign" else type))
            if known[1] != type and kind == "assign":
                raise Unsupported
        case If(branches, otherwise):
            for inner in (s for group in (*(b.statements for b in branches), otherwise) for s in group):
                _collect(inner, translator, targets)
        case Remark():
            pass
        case _:
            raise Unsupported


def _type_of_value(translator: Translator, content: Expression) -> str:
    """Type of an undeclared target: that of its value; unknown for a bare number, else taken for a BOOL."""
    type = translator.type_of(content)
    return "" if type.startswith("?") or (isinstance(content, Literal) and type != "BOOL") else type or "BOOL"


def _roots(targets: Mapping[str, object]) -> frozenset[str]:
    """Written root names; two different parts of one variable could overlap and are refused."""
    roots: dict[str, str] = {}
    for key in targets:
        name = key.split(".")[0].split("[")[0].rstrip("^") if not key.startswith("%") else key
        if roots.setdefault(name, key) != key and (roots[name].startswith(key) or key.startswith(roots[name])):
            raise Unsupported
    return frozenset(roots)


def _access(key: str, old: Sequence[Statement], new: Sequence[Statement]) -> Expression:
    for target in _targets((*old, *new)):
        if folded(target) == key:
            return target
    raise Unsupported


def _targets(statements: Sequence[Statement]) -> Iterator[Expression]:
    for statement in statements:
        if isinstance(statement, Assign):
            yield statement.target
        elif isinstance(statement, If):
            for group in (*(b.statements for b in statement.branches), statement.otherwise):
                yield from _targets(group)


def _expressions(statements: Sequence[Statement]) -> Iterator[Expression]:
    for statement in statements:
        if isinstance(statement, Assign):
            yield statement.value
        elif isinstance(statement, If):
            yield from (b.condition for b in statement.branches)
            for group in (*(b.statements for b in statement.branches), statement.otherwise):
                yield from _expressions(group)


def _run(
    statements: Sequence[Statement], translator: Translator, state: State, targets: Mapping[str, tuple[str, str]]
) -> State:
    for statement in statements:
        translator.state = state
        match statement:
            case Assign():
                state = _assigned(statement, translator, state, targets)
            case If(branches, otherwise):
                state = _branched(branches, otherwise, translator, state, targets)
    translator.state = state
    return state


def _assigned(statement: Assign, translator: Translator, state: State, targets: Mapping[str, tuple[str, str]]) -> State:
    z3, key = translator.z3, folded(statement.target)
    type = targets[key][1]
    if type in ("", "REAL", "LREAL") or (type not in WIDTHS and type != "BOOL"):
        _refuse_unknown(statement.value)
    match statement.kind:
        case "set":
            term = z3.Or(translator.boolean(statement.value), state[key])
        case "reset":
            term = z3.And(z3.Not(translator.boolean(statement.value)), state[key])
        case _:
            term = translator.term(statement.value, type)
    if statement.condition is not None:
        term = z3.If(translator.boolean(statement.condition), term, state[key])
    return {**state, key: term}


def _refuse_unknown(value: Expression) -> None:
    """A call could change something besides its result."""
    if any(isinstance(node, Invocation) and node.outputs for node in walk(value)):
        raise Unsupported


def _branched(
    branches: Sequence[Branch],
    otherwise: Sequence[Statement],
    translator: Translator,
    state: State,
    targets: Mapping[str, tuple[str, str]],
) -> State:
    if not branches:
        return _run(otherwise, translator, dict(state), targets)
    translator.state = state
    condition = translator.boolean(branches[0].condition)
    taken = _run(branches[0].statements, translator, dict(state), targets)
    other = _branched(branches[1:], otherwise, translator, dict(state), targets)
    z3 = translator.z3
    return {key: taken[key] if taken[key] is other[key] else z3.If(condition, taken[key], other[key]) for key in state}
