"""Values of a drawing as expressions: operands with their modifiers, series, parallel branches, arguments of a block.

Series are kept as tuples of factors from the rail to the coil, so that parallel branches are factored by their common
beginning: a diagram of n stages in parallel pairs stays linear in size instead of doubling at each stage. Cost of one
parallel connection of branches with n factors: O(log n) comparisons of slices. Known weakness: branches that share
wires without sharing their beginning repeat what they share; MOST bounds that.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from asfound.language.parser import parse_expression
from asfound.language.statement_printer import expression as printed
from asfound.language.walk import parts
from asfound.model.logic import Argument, Edge, Expression, Literal, Operation, Unparsed
from asfound.model.problem import Problem
from asfound.readers.drawing.drawn_items import Item

Factors = tuple[Expression, ...]
TRUE, FALSE = Literal("TRUE"), Literal("FALSE")
DEEPEST = 60
"""Most levels of series in parallel in series; people draw fewer than ten."""
MOST = 100_000
"""Most operands in one expression."""


def operand(item: Item) -> Expression:
    """Variable or expression written at an element."""
    return parse_expression(item.text) if item.text else Unparsed("")


def modified(value: Expression, item: Item) -> Expression:
    """A contact or variable with its drawn modifiers."""
    if item.negated:
        value = Operation("NOT", (value,))
    if item.edge:
        value = Edge(item.edge, value)  # type: ignore[arg-type]
    return value


def series(factors: Factors) -> Expression:
    """Factors in series as one expression; none at all is the rail itself."""
    if not factors:
        return TRUE
    flat: list[Expression] = []
    for factor in factors:
        nested = isinstance(factor, Operation) and factor.operator == "AND"
        flat.extend(factor.operands if nested and isinstance(factor, Operation) else (factor,))
    return flat[0] if len(flat) == 1 else Operation("AND", tuple(flat))


def parallel(branches: list[Factors]) -> Factors:
    """Branches in parallel, factored by what they begin with in common; the order drawn says nothing and is sorted."""
    if not branches:
        return (FALSE,)
    if len(branches) == 1:
        return branches[0]
    shared = _shared(branches)
    ends = {printed(end): end for end in (series(branch[shared:]) for branch in branches)}
    flat: dict[str, Expression] = {}
    for text, end in ends.items():
        if isinstance(end, Operation) and end.operator == "OR":
            flat.update((printed(o), o) for o in end.operands)
        else:
            flat[text] = end
    operands = tuple(flat[text] for text in sorted(flat))
    if operands == (TRUE,):
        return branches[0][:shared]
    return (*branches[0][:shared], operands[0] if len(operands) == 1 else Operation("OR", operands))


def _shared(branches: list[Factors]) -> int:
    """How many factors all branches begin with, by halving."""
    first, *others = branches
    low, high = 0, min(map(len, branches))
    while low < high:
        middle = (low + high + 1) // 2
        if all(other[:middle] == first[:middle] for other in others):
            low = middle
        else:
            high = middle - 1
    return low


def positional(arguments: tuple[Argument, ...], block: Item) -> tuple[Argument, ...]:
    """Drop pin names that say nothing: ``IN`` alone, or ``IN1 .. INn`` in order and all wired."""
    pins = [p.name.upper() for p in block.inputs if p.name.upper() != "EN"]
    names = [a.name.upper() for a in arguments]
    numbered = [f"IN{n}" for n in range(1, len(names) + 1)]
    if sorted(names) != sorted(pins) or (names != ["IN"] and sorted(names) != sorted(numbered)):
        return arguments
    by_pin = {a.name.upper(): a.value for a in arguments}
    return tuple(Argument("", by_pin[name]) for name in (names if names == ["IN"] else numbered))


@dataclass
class Measure:
    """Size and depth of expressions that share parts, each part measured once (and kept alive for that)."""

    known: dict[int, tuple[int, int, Expression]] = field(default_factory=dict)

    def check(self, value: Expression) -> None:
        """Refuse what no printer, parser or person could handle any more."""
        size, depth = self.of(value)
        if size > MOST or depth > DEEPEST:
            what = f"more than {MOST} operands" if size > MOST else f"branches nested more than {DEEPEST} deep"
            raise Problem(
                f"holds a diagram with {what} in one rung",
                advice="split the rung, or store the file as it is in a folder with readable exports",
            )

    def of(self, value: Expression) -> tuple[int, int]:
        """(operands, levels) of an expression."""
        stack = [value]
        while stack:
            node = stack[-1]
            below = parts(node)
            missing = [part for part in below if id(part) not in self.known]
            if missing:
                stack += missing
                continue
            stack.pop()
            sizes = [self.known[id(part)] for part in below]
            self.known[id(node)] = (1 + sum(s for s, _, _ in sizes), 1 + max((d for _, d, _ in sizes), default=0), node)
        size, depth, _ = self.known[id(value)]
        return size, depth
