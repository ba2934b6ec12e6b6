"""Random edits: those a person makes who believes that nothing changes, and those that change something.

No edit is known to be right: where there are calls that write, or what can fail, most of the first kind are wrong.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from random import Random

from .writing import E, S, Writer

MIRRORED = {"<": ">", ">": "<", "<=": ">=", ">=": "<=", "=": "=", "<>": "<>"}
OPPOSITE = {"<": ">=", ">": "<=", "<=": ">", ">=": "<", "=": "<>", "<>": "="}
FORMS = {"+": "ADD", "-": "SUB", "*": "MUL", "/": "DIV", "AND": "AND", "OR": "OR", "=": "EQ", ">": "GT", "<": "LT"}


def edited(old: tuple[S, ...], writer: Writer, random: Random) -> tuple[str, tuple[S, ...]]:
    """One to two edits; their names, and the new statements."""
    names, new = [], old
    for _ in range(random.choice((1, 1, 2))):
        for _ in range(20):
            name, edit = random.choice(EDITS)
            found = edit(new, writer, random)
            if found is not None and found != new:
                names.append(name)
                new = found
                break
    return "+".join(names), new


Edit = Callable[[tuple[S, ...], Writer, Random], "tuple[S, ...] | None"]


def _swap(old: tuple[S, ...], writer: Writer, random: Random) -> tuple[S, ...] | None:
    if len(old) < 2:
        return None
    at = random.randrange(len(old) - 1)
    return (*old[:at], old[at + 1], old[at], *old[at + 2 :])


def _move(old: tuple[S, ...], writer: Writer, random: Random) -> tuple[S, ...] | None:
    rest = list(old)
    one = rest.pop(random.randrange(len(rest)))
    rest.insert(random.randint(0, len(rest)), one)
    return tuple(rest)


def _drop(old: tuple[S, ...], writer: Writer, random: Random) -> tuple[S, ...] | None:
    at = random.randrange(len(old))
    return (*old[:at], *old[at + 1 :]) if len(old) > 1 else None


def _add(old: tuple[S, ...], writer: Writer, random: Random) -> tuple[S, ...] | None:
    at = random.randint(0, len(old))
    return (*old[:at], writer.statement(0), *old[at:])


def _repeat(old: tuple[S, ...], writer: Writer, random: Random) -> tuple[S, ...] | None:
    at = random.randrange(len(old))
    return (*old[: at + 1], *old[at:])


def _turn_branches(old: tuple[S, ...], writer: Writer, random: Random) -> tuple[S, ...] | None:
    def turn(s: S) -> S | None:
        if s.kind != "if" or len(s.parts) != 2:
            return None
        return S("if", "", (E("NOT", s.values, "BOOL"),), s.parts[::-1])

    return _one_statement(old, random, turn)


def _split_and(old: tuple[S, ...], writer: Writer, random: Random) -> tuple[S, ...] | None:
    """``IF a AND b`` as one IF in another."""

    def split(s: S) -> S | None:
        if s.kind != "if" or len(s.parts) != 1 or s.values[0].op != "AND":
            return None
        first, *rest = s.values[0].args
        inner = E("AND", tuple(rest), "BOOL") if len(rest) > 1 else rest[0]
        return S("if", "", (first,), ((S("if", "", (inner,), s.parts),),))

    return _one_statement(old, random, split)


def _as_latch(old: tuple[S, ...], writer: Writer, random: Random) -> tuple[S, ...] | None:
    """``IF c THEN q := v; END_IF`` as an assignment."""

    def latch(s: S) -> S | None:
        if s.kind != "if" or len(s.parts) != 1 or len(s.parts[0]) != 1:
            return None
        inner, c = s.parts[0][0], s.values[0]
        if inner.kind != "assign":
            return None
        keep = E(inner.head, (), inner.values[0].type)
        if inner.values[0].type == "INT":
            return S("assign", inner.head, (E("SEL", (c, keep, inner.values[0]), "INT"),))
        taken = E("AND", (c, inner.values[0]), "BOOL")
        return S("assign", inner.head, (E("OR", (taken, E("AND", (E("NOT", (c,), "BOOL"), keep), "BOOL")), "BOOL"),))

    return _one_statement(old, random, latch)


def _through_a_variable(old: tuple[S, ...], writer: Writer, random: Random) -> tuple[S, ...] | None:
    """A value is stored in ``n`` or ``s`` first."""
    at = random.randrange(len(old))
    s = old[at]
    if s.kind != "assign":
        return None
    name = "n" if s.values[0].type == "INT" else "s"
    return (
        *old[:at],
        S("assign", name, s.values),
        S("assign", s.head, (E(name, (), s.values[0].type),)),
        *old[at + 1 :],
    )


def _one_statement(old: tuple[S, ...], random: Random, turn: Callable[[S], S | None]) -> tuple[S, ...] | None:
    ways = [(n, found) for n, s in enumerate(old) if (found := turn(s)) is not None]
    if not ways:
        return None
    at, found = random.choice(ways)
    return (*old[:at], found, *old[at + 1 :])


# --- expressions


def _expression(turn: Callable[[E, Writer, Random], E | None]) -> Edit:
    """An edit of one node of one expression of one statement."""

    def edit(old: tuple[S, ...], writer: Writer, random: Random) -> tuple[S, ...] | None:
        at = random.randrange(len(old))
        s = old[at]
        if s.parts and random.random() < 0.5:
            part = random.randrange(len(s.parts))
            found = edit(s.parts[part], writer, random)
            if found is None:
                return None
            return (*old[:at], replace(s, parts=(*s.parts[:part], found, *s.parts[part + 1 :])), *old[at + 1 :])
        if not s.values:
            return None
        which = random.randrange(len(s.values))
        new = _inside(s.values[which], lambda e: turn(e, writer, random), random)
        if new is None:
            return None
        return (*old[:at], replace(s, values=(*s.values[:which], new, *s.values[which + 1 :])), *old[at + 1 :])

    return edit


def _inside(e: E, turn: Callable[[E], E | None], random: Random) -> E | None:
    ways: list[E] = []
    here = turn(e)
    if here is not None:
        ways.append(here)
    if e.op not in ("Take", "Above"):
        for n, a in enumerate(e.args):
            found = _inside(a, turn, random)
            if found is not None:
                ways.append(replace(e, args=(*e.args[:n], found, *e.args[n + 1 :])))
    return random.choice(ways) if ways else None


def _turn_operands(e: E, writer: Writer, random: Random) -> E | None:
    if e.op not in ("AND", "OR", "XOR", "+", "*", "MAX", "MIN", "ADD") or len(e.args) < 2:
        return None
    turned = list(e.args)
    random.shuffle(turned)
    return replace(e, args=tuple(turned))


def _mirror(e: E, writer: Writer, random: Random) -> E | None:
    return E(MIRRORED[e.op], e.args[::-1], "BOOL") if e.op in MIRRORED else None


def _opposite(e: E, writer: Writer, random: Random) -> E | None:
    return E("NOT", (E(OPPOSITE[e.op], e.args, "BOOL"),), "BOOL") if e.op in OPPOSITE else None


def _de_morgan(e: E, writer: Writer, random: Random) -> E | None:
    if e.op not in ("AND", "OR"):
        return None
    inner = tuple(a.args[0] if a.op == "NOT" else E("NOT", (a,), "BOOL") for a in e.args)
    return E("NOT", (E("OR" if e.op == "AND" else "AND", inner, "BOOL"),), "BOOL")


def _function_form(e: E, writer: Writer, random: Random) -> E | None:
    return replace(e, op=FORMS[e.op]) if e.op in FORMS and len(e.args) == 2 and e.op not in ("AND", "OR") else None


def _doubled(e: E, writer: Writer, random: Random) -> E | None:
    return E(random.choice(("AND", "OR")), (e, e), "BOOL") if e.type == "BOOL" else None


def _undoubled(e: E, writer: Writer, random: Random) -> E | None:
    return e.args[0] if e.op in ("AND", "OR", "MAX", "MIN") and e.args[0] == e.args[1] else None


def _absorbed(e: E, writer: Writer, random: Random) -> E | None:
    if e.type != "BOOL":
        return None
    return E("OR", (e, E("AND", (e, writer.leaf("BOOL")), "BOOL")), "BOOL")


def _select_turned(e: E, writer: Writer, random: Random) -> E | None:
    if e.op != "SEL":
        return None
    return replace(e, args=(E("NOT", (e.args[0],), "BOOL"), e.args[2], e.args[1]))


def _grouped(e: E, writer: Writer, random: Random) -> E | None:
    if e.op not in ("+", "*") or e.args[0].op != e.op:
        return None
    (first, second), third = e.args[0].args, e.args[1]
    return E(e.op, (first, E(e.op, (second, third), "INT")), "INT")


def _inverted(e: E, writer: Writer, random: Random) -> E | None:
    if e.type != "BOOL":
        return None
    return e.args[0] if e.op == "NOT" else E("NOT", (e,), "BOOL")


def _another_leaf(e: E, writer: Writer, random: Random) -> E | None:
    return writer.leaf(e.type) if not e.args else None


def _another_operator(e: E, writer: Writer, random: Random) -> E | None:
    for group in (("AND", "OR", "XOR"), ("<", "<=", ">", ">=", "=", "<>"), ("+", "-", "*")):
        if e.op in group:
            return replace(e, op=random.choice(group))
    return None


def _operand_dropped(e: E, writer: Writer, random: Random) -> E | None:
    if e.op not in ("AND", "OR", "XOR"):
        return None
    rest = list(e.args)
    rest.pop(random.randrange(len(rest)))
    return rest[0] if len(rest) == 1 else replace(e, args=tuple(rest))


EDITS: tuple[tuple[str, Edit], ...] = (
    ("swap", _swap), ("swap", _swap), ("swap", _swap), ("move", _move), ("drop", _drop), ("add", _add),
    ("repeat", _repeat), ("turn branches", _turn_branches), ("split and", _split_and), ("as latch", _as_latch),
    ("through a variable", _through_a_variable), ("turn operands", _expression(_turn_operands)),
    ("turn operands", _expression(_turn_operands)), ("mirror", _expression(_mirror)),
    ("opposite", _expression(_opposite)), ("de morgan", _expression(_de_morgan)),
    ("function form", _expression(_function_form)), ("doubled", _expression(_doubled)),
    ("undoubled", _expression(_undoubled)), ("absorbed", _expression(_absorbed)),
    ("select turned", _expression(_select_turned)), ("grouped", _expression(_grouped)),
    ("inverted", _expression(_inverted)), ("another leaf", _expression(_another_leaf)),
    ("another operator", _expression(_another_operator)), ("operand dropped", _expression(_operand_dropped)),
)  # fmt: skip
