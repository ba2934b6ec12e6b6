"""One statement against its partner: effect, edits, witness; branches and loops are entered.

The effect is settled by the first of these that holds: only spelling differs (documentation); equal after canonical
ordering (equivalent); text that nobody understood is involved (undecided); proved equal (equivalent); a counterexample
(behaviour, with it); the same operands in another arrangement that could not be proved (undecided); else behaviour.
Cost: linear, plus one proof. Known weakness: see prove/.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from msgspec.structs import replace

from asfound.analysis.canonical import folded, literal_key, statement_key
from asfound.analysis.places import Place
from asfound.compare.changes import change, one_sided_change, one_sided_edit
from asfound.compare.context import Scope
from asfound.compare.logic.expressions import another_way, differences, named, outgoing, pins, shown
from asfound.compare.logic.wires import without_names
from asfound.compare.pairing.pair import Pair
from asfound.compare.result import EFFECTS, Change, Edit, Effect
from asfound.compare.wording.fields import short
from asfound.compare.wording.phrases import edit
from asfound.language.evaluation import Risk, risk
from asfound.language.readable import expression as text_of
from asfound.language.readable import statements as text
from asfound.language.walk import everything, inner, names_in, parts, root, unread
from asfound.model.logic import (
    Assign,
    Call,
    Case,
    Dereference,
    Direct,
    Element,
    Expression,
    For,
    If,
    Jump,
    Label,
    Literal,
    Member,
    Remark,
    Repeat,
    Return,
    Statement,
    Temporary,
    Unparsed,
    Variable,
    Verbatim,
    While,
)
from asfound.prove.witness import Witness

if TYPE_CHECKING:
    from asfound.prove.solver import Proof

HEAD = Variable("condition")
"""Target that stands for the outcome of a condition while it is judged."""
COMPOUND = (If, Case, For, While, Repeat)
Verdict = tuple[Effect, Witness | None]


def judge(scope: Scope, old: Sequence[Statement], new: Sequence[Statement]) -> Verdict:
    """Effect of replacing ``old`` by ``new``, which stand at the same place, and a counterexample."""
    spelled = [[statement_key(s, folded) for s in group if not isinstance(s, Remark)] for group in (old, new)]
    if spelled[0] == spelled[1]:
        return "documentation", None
    if [statement_key(s, scope.key) for s in old] == [statement_key(s, scope.key) for s in new]:
        return "equivalent", None
    if any(map(unreadable, (*old, *new))):
        return "undecided", None
    return prove(scope, old, new)


def prove(scope: Scope, old: Sequence[Statement], new: Sequence[Statement]) -> Verdict:
    """Ask the solver; what it cannot decide is undecided when both sides use the same operands."""
    if len(old) == len(new) == 1 and isinstance(old[0], Call) and isinstance(new[0], Call):
        return _prove_call(scope, old[0], new[0])
    if not all(map(_provable, (*old, *new))):
        return "behaviour", None
    if not scope.context.budget.allow():
        return "undecided", None
    from asfound.compare.logic.whole_bodies import prove_pieces

    return _verdict(scope, prove_pieces(scope, old, new, {HEAD.name: ""}), _same_parts(scope, old, new))


def _same_parts(scope: Scope, old: Sequence[Statement], new: Sequence[Statement]) -> bool:
    """The same operands, and the same calls that write something, as many times."""
    context = scope.context
    return atoms(old) == atoms(new) and context.mod_ref_old.effects(old) == context.mod_ref_new.effects(new)


def _verdict(scope: Scope, proof: Proof, same_parts: bool) -> Verdict:
    scope.context.budget.gave_up += proof.exhausted
    scope.context.budget.given_up_pairs += proof.exhausted
    if proof.status == "equal":
        return "equivalent", None
    if proof.status == "different":
        return "behaviour", proof.witness
    if proof.widths:
        scope.context.budget.widths += 1
        return "undecided", None
    return ("undecided" if same_parts else "behaviour"), None


def _prove_call(scope: Scope, old: Call, new: Call) -> Verdict:
    """A call acts the same when the same block gets equal values on the same pins."""
    before, after = named(old.inputs), named(new.inputs)
    heads = [statement_key(replace(c, inputs=()), scope.key) for c in (old, new)]
    if heads[0] != heads[1] or before.keys() != after.keys():
        return "behaviour", None
    own = root(new.instance)
    acts = any(risk(a.value, scope.key.declared) == Risk.WRITES or own in names_in(a.value) for a in new.inputs)
    if [*before] != [*after] and acts:
        return "undecided", None
    members = scope.context.new.members.get(new.type.lower(), {})
    found: list[Verdict] = []
    for pin in sorted(before):
        a, b = before[pin].value, after[pin].value
        if scope.key(a) != scope.key(b):
            found.append(_prove_pin(scope, new, (before[pin].name or pin, members.get(pin, "")), (a, b)))
    return max(found, key=lambda v: (EFFECTS.index(v[0]), v[1] is not None)) if found else ("equivalent", None)


def _prove_pin(scope: Scope, call: Call, pin: tuple[str, str], values: tuple[Expression, Expression]) -> Verdict:
    name = f"{shown(call.instance)}.{pin[0]}"
    old, new = (Assign(Variable(name), v) for v in values)
    if not scope.context.budget.allow():
        return "undecided", None
    from asfound.compare.logic.whole_bodies import prove_pieces

    proof = prove_pieces(scope, (old,), (new,), {name.lower(): pin[1]})
    return _verdict(scope, proof, atoms((old,)) == atoms((new,)))


def _provable(statement: Statement) -> bool:
    if isinstance(statement, If | Case | For):
        return all(map(_provable, inner(statement)))
    return isinstance(statement, Assign | Remark)


def atoms(statements: Sequence[Statement]) -> list[str]:
    """Keys of all operands, sorted: whole accesses, literals by value, names of what is called."""
    return sorted({key for s in statements for e in everything(s) for key in operands(e)})


def operands(expression: Expression) -> Iterable[str]:
    """Keys of the operands of one expression, the outermost access of each."""
    if isinstance(expression, Variable | Member | Element | Direct | Dereference | Temporary | Unparsed):
        yield folded(expression)
    elif isinstance(expression, Literal):
        yield literal_key(expression.text)
    for part in parts(expression):
        yield from operands(part)


def unreadable(statement: Statement) -> bool:
    """True when it holds text that nobody understood."""
    return any(True for _ in unread(statement))


def described(scope: Scope, old: Statement, new: Statement) -> tuple[Edit, ...]:
    """The difference of two simple statements; empty when nothing but spelling differs."""
    match old, new:
        case Assign(), Assign():
            return _assigned(scope, old, new)
        case Call(), Call():
            return _called(scope, old, new)
        case Jump(was, before), Jump(now, after):
            label = [edit("jump target", was, now)] if was.lower() != now.lower() else []
            return (*label, *_condition(scope, before, after))
        case Return(before), Return(after):
            return _condition(scope, before, after)
    if isinstance(old, Verbatim) and isinstance(new, Verbatim):
        return (edit("text not understood"),)
    texts = line(old), line(new)
    return (edit("code", *texts) if texts[0] != texts[1] else edit("way of writing"),)


def _assigned(scope: Scope, old: Assign, new: Assign) -> tuple[Edit, ...]:
    found: list[Edit] = []
    if folded(old.target) != folded(new.target):
        found.append(edit("coil" if scope.ladder else "target", shown(old.target), shown(new.target)))
    if old.kind != new.kind:
        found.append(edit("kind of coil" if scope.ladder else "kind of assignment", old.kind, new.kind))
    return (*found, *_condition(scope, old.condition, new.condition), *differences(scope, old.value, new.value))


def _condition(scope: Scope, old: Expression | None, new: Expression | None) -> tuple[Edit, ...]:
    if old is None:
        return () if new is None else (edit("condition added", new=shown(new)),)
    if new is None:
        return (edit("condition removed", shown(old)),)
    return tuple(edit("condition", inner=(each,)) for each in differences(scope, old, new))


def _called(scope: Scope, old: Call, new: Call) -> tuple[Edit, ...]:
    found: list[Edit] = []
    if folded(old.instance) != folded(new.instance):
        found.append(edit("call", shown(old.instance), shown(new.instance)))
    if old.type.lower() != new.type.lower():
        found.append(edit("block type", old.type, new.type))
    known = scope.context.new.block(new.type)
    owner = f"{new.type} {shown(new.instance)}" if known else shown(new.instance)
    preset = next((p for p in ("pt", "pv") if known and p in known.pins), "")
    found += _condition(scope, old.condition, new.condition)
    found += pins(scope, old.inputs, new.inputs, owner, preset)
    found += outgoing(old.outputs, new.outputs, owner)
    return tuple(found)


def line(statement: Statement) -> str:
    """A statement on one short line."""
    if isinstance(statement, Verbatim):
        return short(statement.text)
    if isinstance(statement, Assign) and statement.kind in ("set", "reset"):
        return short(f"{statement.kind} coil {shown(statement.target)}, when {text_of(statement.value)}")
    return short(text((statement,)))


def subject(statement: Statement) -> str:
    """What a statement is about, for the beginning of a summary."""
    match statement:
        case Assign(target):
            return shown(target)
        case Call(instance):
            return shown(instance)
        case Jump(label):
            return f"jump to {label}"
        case Verbatim():
            return ""
    return type(statement).__name__.upper()


def compare_pair(scope: Scope, place: Place, pair: Pair[Statement]) -> list[Change]:
    """Changes between two statements that belong together."""
    old, new, written = pair
    if old == new or without_names(old) == without_names(new):
        return []
    if isinstance(old, COMPOUND) or isinstance(new, COMPOUND):
        return _compound(scope, place, pair)
    typed = scope.typed(old, new)
    effect, witness = judge(scope, (typed[0],), (typed[1],))
    found = simple_change(scope, place, effect, witness, Pair(*typed, written))
    return [replace(found, after=text((new,)).rstrip("\n"))]


def simple_change(
    scope: Scope,
    place: Place,
    effect: Effect,
    witness: Witness | None,
    pair: Pair[Statement],
) -> Change:
    """The change of one statement."""
    old, new, written = pair
    texts, about = (text((written,)), text((new,))), subject(new)
    if effect == "documentation":
        return change("logic", "changed", place, texts, "", (edit("spelling alone"),), effect=effect)
    edits = described(scope, old, new)
    if effect == "equivalent":
        same = statement_key(old, scope.key) == statement_key(new, scope.key)
        edits = (_same_way(old, new), *edits) if same else (*edits[:1], edit("proved"), *edits[1:])
    edits = edits or (edit("way of writing"),)
    return change("logic", "changed", place, texts, about, edits, effect=effect, witness=witness)


def _same_way(old: Statement, new: Statement) -> Edit:
    pairs = zip(everything(old), everything(new), strict=False)
    return next((another_way(a, b) for a, b in pairs if a != b), edit("order of operands"))


def _compound(scope: Scope, place: Place, pair: Pair[Statement]) -> list[Change]:
    """Enter a branch or loop; a pair that is proved equal as a whole is one change."""
    old, new, written = pair
    if (
        statement_key(old, scope.key) != statement_key(new, scope.key)
        and _provable(old)
        and _provable(new)
        and not unreadable(new)
    ):
        effect, _ = judge(scope, (old,), (new,))
        if effect == "equivalent":
            return [simple_change(scope, place, effect, None, pair)]
    from asfound.compare.logic import branches

    match old, new, written:
        case If(), If(), If():
            return branches.compare_if(scope, place, Pair(old, new, written))
        case Case(), Case(), Case():
            return branches.compare_case(scope, place, Pair(old, new, written))
        case For() | While() | Repeat(), For() | While() | Repeat(), For() | While() | Repeat() if type(old) is type(
            new
        ):
            return branches.compare_loop(scope, place, Pair(old, new, written))
    effect, witness = judge(scope, (old,), (new,))
    return [simple_change(scope, place, effect, witness, pair)]


def one_sided(kind: str, place: Place, statement: Statement) -> Change:
    """An added or removed statement."""
    effect: Effect = "undecided" if unreadable(statement) else "behaviour"
    what, said = ("label", statement.name) if isinstance(statement, Label) else ("code", line(statement))
    return one_sided_change(
        "logic",
        kind,
        place,
        text((statement,)),
        (one_sided_edit(f"{what} {kind}", kind, said),),
        f"statement {kind}",
        effect=effect,
    )


def features(statements: Iterable[Statement]) -> frozenset[str]:
    """Names and constants a piece works with: what it is recognised by."""
    given = tuple(statements)
    words = (w for s in given if isinstance(s, Verbatim) for w in s.text.lower().split())
    return frozenset((*words, *(key for s in given for e in everything(s) for key in operands(e))))
