"""Two bodies: statement lists, rungs and networks, or charts; and the order in which a diagram runs.

Rungs are aligned by what they do (see alignment); one change per rung, with everything about it in the details. A rung
that only moved is judged like a moved statement. A body in another language is compared by its statements alone.
Cost: see alignment and statements.
A rung split in two, or two merged, is one change as long as the statements stay (see split_rungs).
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from asfound.analysis.canonical import network_key, sequence_key
from asfound.analysis.places import Place, noun
from asfound.compare.changes import change, one_sided_change, one_sided_edit, strongest
from asfound.compare.context import Scope
from asfound.compare.logic.network_order import compare_order
from asfound.compare.logic.sequences import (
    THRESHOLD,
    Group,
    comment_change,
    comment_edits,
    compare_statements,
    scorer,
    with_moves,
)
from asfound.compare.logic.split_rungs import divided, told
from asfound.compare.logic.statements import judge, line, unreadable
from asfound.compare.logic.whole_bodies import as_a_whole as whole_body
from asfound.compare.logic.wires import matched
from asfound.compare.pairing.alignment import Match, align
from asfound.compare.pairing.pair import Pair
from asfound.compare.parts.extensions import compare_extensions
from asfound.compare.result import QUIET, Change, Edit, Effect
from asfound.compare.wording.phrases import edit
from asfound.language import printer
from asfound.language.readable import plain
from asfound.language.readable import statements as text
from asfound.model.logic import Label, Remark, Statement
from asfound.model.program import Body, Chart, Network


def compare_bodies(scope: Scope, place: Place, pair: Pair[Body]) -> list[Change]:
    """Changes between two bodies."""
    old, new, _ = pair
    if old == new:
        return []
    if old.language != new.language:
        return _translated(scope, place, pair)
    spoken = scope.spoken(new)
    changes = compare_statements(spoken, place, pair.each(lambda b: b.statements))
    changes += _networks(spoken, place, pair)
    match pair.each(lambda b: b.chart):
        case Pair(Chart() as before, Chart() as after, Chart() as said):
            from asfound.compare.logic.charts import compare_charts

            changes += compare_charts(spoken, place, Pair(before, after, said))
        case Pair(before, after) if before != after:
            sides = (None if chart is None else "" for chart in (before, after))
            changes.append(change("logic", "changed", place, (None, None), "", (edit("chart", *sides),)))
    if sorted(old.comments) != sorted(new.comments):
        edits = comment_edits(old.comments, new.comments)
        changes.append(comment_change(place, old.comments, new.comments, edits))
    changes = whole_body(spoken, place, old, new, changes)
    return changes + compare_extensions(place, old.extensions, new.extensions)


def _flat(body: Body) -> tuple[Statement, ...]:
    return (*body.statements, *(s for network in body.networks for s in network.statements))


def _translated(scope: Scope, place: Place, pair: Pair[Body]) -> list[Change]:
    """The language changed: what it does is compared all the same."""
    old, new, _ = pair
    flat = pair.each(_flat)
    before, after, written = flat
    said = edit("language", old.language, new.language)
    if old.chart is not None or new.chart is not None:
        return [change("logic", "changed", place, (None, None), "", (said,), effect="behaviour")]
    if sequence_key(before, scope.key) == sequence_key(after, scope.key):
        effect: Effect = "equivalent" if before or after else "documentation"
        edits = said, edit("same statements")
        return [change("logic", "changed", place, (text(before), text(after)), "", edits, effect=effect)]
    inside = compare_statements(scope, place, flat)
    texts = text(written), text(after)
    whole = change("logic", "changed", place, texts, "", (said,), effect=strongest(c.effect for c in inside))
    found = whole_body(scope, place, old, new, [whole, *inside])
    return found[:1] if found[0].effect == "equivalent" else found


def one_body(kind: str, body: Body, place: Place, word: str) -> Change:
    """A body that only one side has, with all that stands in it."""
    code = [one_sided_edit(f"code {kind}", kind, line(s)) for s in _flat(body) if not isinstance(s, Remark)]
    head = one_sided_edit("worksheet", kind, body.language, of=word)
    acts = bool(code or body.chart is not None)
    effect: Effect = "behaviour" if acts else "undecided" if body.extensions else "documentation"
    if any(map(unreadable, _flat(body))):
        effect = "undecided"
    return one_sided_change("logic", kind, place, plain(printer.body(body)), (head, *code), effect=effect)


def _networks(scope: Scope, place: Place, pair: Pair[Body]) -> list[Change]:
    old, new, written = pair
    if old.networks == new.networks and old.order == new.order:
        return []
    word = noun(new)
    groups_old = [n.statements for n in old.networks]
    groups_new = [n.statements for n in new.networks]
    score = scorer(groups_old, groups_new)

    def scored(i: int, j: int) -> float:
        title = old.networks[i].title
        return score(i, j) + (0.1 if title and title == new.networks[j].title else 0.0)

    keys_old, keys_new = ([network_key(n, scope.key) for n in body.networks] for body in (old, new))
    found = align(keys_old, keys_new, scored, THRESHOLD)
    if found.exhausted:
        scope.context.budget.exhausted.add(place.where)
    partners = {j: i for i, j in (*found.kept, *found.moved, *found.changed)}
    wired = (matched(old.networks[partners[j]], n) if j in partners else n for j, n in enumerate(new.networks))
    new = replace(new, networks=tuple(wired))
    found, divisions = divided(found, old.networks, new.networks)
    changes = [told(each, place, word, written.networks, new.networks) for each in divisions]
    for i, j in (*found.kept, *found.moved, *found.changed):
        at = place.network(j, word, i)
        changes += _network(scope, at, Pair(old.networks[i], new.networks[j], written.networks[i]))
    changes += [_one_sided("removed", place.network(i, word), written.networks[i], word) for i in found.removed]
    changes += [_one_sided("added", place.network(j, word), new.networks[j], word) for j in found.added]
    groups = Pair[Sequence[Group]](groups_old, groups_new, [n.statements for n in written.networks])
    changes = with_moves(scope, changes, found, groups, lambda i, j: place.network(j, word, i), word)
    pairs: list[Match] = [*found.kept, *found.moved, *found.changed]
    return changes + compare_order(scope, place, old, new, pairs)


def _network(scope: Scope, place: Place, pair: Pair[Network]) -> list[Change]:
    """One change for a rung, whatever differs in it."""
    old, new, written = pair
    if old == new:
        return []
    inside = compare_statements(scope, place, pair.each(lambda n: n.statements))
    inside = _as_a_whole(scope, old, new, inside)
    heads: list[Edit] = []
    for what, before, after in (("title", old.title, new.title), ("comment", old.comment, new.comment)):
        if before != after:
            heads.append(edit(what, before, after))
    if old.label != new.label:
        spelling = old.label.lower() == new.label.lower()
        heads.append(edit("label", old.label, new.label, effect="documentation" if spelling else "behaviour"))
    if sorted(old.leftovers) != sorted(new.leftovers):
        heads += comment_edits(old.leftovers, new.leftovers, "drawn")
    changes = compare_extensions(place, old.extensions, new.extensions)
    if not (inside or heads):
        return changes
    effect = strongest((*(c.effect for c in inside), *(e.effect for e in heads if e.effect)))
    witness = next((c.witness for c in inside if c.witness is not None), None)
    subject, edits = "", (*map(_statement, inside), *heads)
    if len(inside) == 1:
        subject, edits = inside[0].subject, (*inside[0].edits, *([edit("besides", inner=heads)] if heads else []))
    texts, drawn = (shown(written), shown(new)), (_drawn(written), _drawn(new))
    made = change("logic", "changed", place, texts, subject, edits, effect=effect, witness=witness, statements=drawn)
    return [made, *changes]


def _statement(c: Change) -> Edit:
    """One of several statements of a rung that differ."""
    return edit("statement" if c.subject else "piece", of=c.subject, inner=c.edits, effect=c.effect)


def _as_a_whole(scope: Scope, old: Network, new: Network, inside: list[Change]) -> list[Change]:
    """Several statements that differ can still do the same together."""
    if len(inside) < 2 or all(c.effect in QUIET for c in inside):
        return inside
    effect, _ = judge(scope, old.statements, new.statements)
    if effect != "equivalent":
        return inside
    whole = Place(inside[0].where, inside[0].path, inside[0].old_path)
    return [change("logic", "changed", whole, (None, None), "", (edit("proved"),), effect="equivalent")]


def shown(network: Network) -> str:
    """Normal form text of a rung: title and comment, then its statements."""
    head = "".join(f"(* {line} *)\n" for line in (network.title, network.comment) if line)
    label = f"{network.label}:\n" if network.label else ""
    rest = "".join(f"(* without effect: {line} *)\n" for line in network.leftovers)
    return head + label + text(network.statements) + rest


def _drawn(network: Network) -> tuple[Statement, ...]:
    """The same to be drawn, a comment on one line."""
    head = (Remark(" ".join(line.split())) for line in (network.title, network.comment) if line)
    label = [Label(network.label)] if network.label else []
    return (*head, *label, *network.statements, *(Remark(f"without effect: {line}") for line in network.leftovers))


def _one_sided(kind: str, place: Place, network: Network, word: str) -> Change:
    edits = [one_sided_edit(f"code {kind}", kind, line(s)) for s in network.statements] or [edit("without effect")]
    effect: Effect = "behaviour" if network.statements or network.label or network.extensions else "documentation"
    if any(map(unreadable, network.statements)) or (network.extensions and not network.statements):
        effect = "undecided"
    made = one_sided_change("logic", kind, place, shown(network), edits, f"{word} {kind}", effect=effect)
    return replace(made, statements=(None, _drawn(network)) if kind == "added" else (_drawn(network), None))
