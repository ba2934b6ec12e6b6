"""Fields of logic: statements, rungs, networks, charts, expressions. Their effect is proved, not read off the field."""

from __future__ import annotations

from collections.abc import Callable

from asfound.compare.result import Edit
from asfound.compare.wording.fields import Field, came, each, headline, name, named, note, proof

CONTACTS = {
    "open": "normally open",
    "closed": "normally closed",
    "rising": "rising edge",
    "falling": "falling edge",
    "negated rising": "negated rising edge",
    "negated falling": "negated falling edge",
}
COILS = {"assign": "coil", "set": "set coil", "reset": "reset coil", "reference": "reference", "attempt": "attempt"}
ASSIGNMENTS = {
    "assign": "assignment",
    "set": "set when TRUE",
    "reset": "reset when TRUE",
    "reference": "assignment of a reference",
    "attempt": "assignment attempt",
}
_JOINTS = {"AND": ("in series", "in series with", "the series"),
           "OR": ("in parallel", "in parallel to", "the parallel branches")}  # fmt: skip
_DRAWN = {"contact": "contact ", "branch": "branch ", "element": ""}
_WRITTEN = {"operand": "operand ", "expression": ""}


def _formed(form: str, name: str) -> str:
    """``X`` or ``normally closed contact X``."""
    return name if form in ("", "open") else f"{CONTACTS.get(form, form)} contact {name}"


def _named(e: Edit, what: str, name: str | None) -> str:
    return _formed(e.of, name or "") if e.of not in ("", "open") else f"{what}{name or ''}"


def _added(what: str, *, drawn: bool) -> Callable[[Edit], str]:
    def words(e: Edit) -> str:
        alone, beside, _ = (
            _JOINTS[e.owner] if drawn and e.owner in _JOINTS else (f"by {e.owner}", f"by {e.owner} to", "")
        )
        where = f"{beside} {e.inner[0].of}" if e.inner else alone
        return f"{_named(e, what, e.new)} added {where}"

    return words


def _removed(what: str, *, drawn: bool) -> Callable[[Edit], str]:
    def words(e: Edit) -> str:
        whole = _JOINTS[e.owner][2] if drawn and e.owner in _JOINTS else e.owner
        return f"{_named(e, what, e.old)} removed from {whole}"

    return words


def _contact(e: Edit) -> str:
    was, now = (e.inner[0].old, e.inner[0].new) if e.inner else ("", "")
    what = "contact " if was in ("", "open") else ""
    return f"{what}{_formed(was or '', e.old or '')} replaced by {_formed(now or '', e.new or '')}"


def _kind(names: dict[str, str]) -> Callable[[Edit], str]:
    return lambda e: " -> ".join(names.get(kind, kind) for kind in (e.old or "", e.new or ""))


def _order(what: str) -> Callable[[Edit], str]:
    """Two pieces that meet in a name, or in two that may be the same memory (``owner`` is the other one)."""
    return lambda e: f"{e.of}{f', which may be the same memory as {e.owner},' if e.owner else ''} {what}"


_DOUBTS = {
    "before": "run {of} before {owner}",
    "as": "run the blocks as {of}",
    "label": "take label {of} to stand before {owner}",
    "value": "read a value before or after it is written",
}
_ELSEWHERE = "what a block does that is not in the export"
_OTHER = "another such block"
_COMMENTS = {"comment": "comment", "drawn": "element without effect"}

_PINS = {
    f"{pin}{field}": Field(f"{pin} {{of}} of {{owner}}{words}")
    for pin in ("input", "preset")
    for field, words in (
        ("", ": {inner}"),
        (" connected", " connected to {new}"),
        (" disconnected", " no longer connected (was {old})"),
        (" fed", " now fed by {new} (was {old})"),
    )
}
PIN_FIELDS = frozenset(_PINS)
"""What differs at the pin ``of`` of a call."""
EXPRESSIONS: dict[str, Field] = {
    **{f"{what} added": Field(_added(word, drawn=True)) for what, word in _DRAWN.items()},
    **{f"{what} removed": Field(_removed(word, drawn=True)) for what, word in _DRAWN.items()},
    **{f"{what} added": Field(_added(word, drawn=False)) for what, word in _WRITTEN.items()},
    **{f"{what} removed": Field(_removed(word, drawn=False)) for what, word in _WRITTEN.items()},
    "beside": note("{of}"),
    "contact": Field(_contact),
    "operand": Field("operand {old} replaced by {new}"),
    "expression": Field("{old} replaced by {new}"),
    "literal": Field("{old} -> {new}"),
    "form of contact": Field(lambda e: f"{e.of}: {_kind(CONTACTS)(e)}"),
    "form of operand": Field("{old} -> {new}"),
    "operands reordered": Field("operands of {of} reordered"),
    "order of operands": Field("operands in another order"),
    "way of negations": Field("negations written in another way"),
    "comparison": Field("comparison {old} -> {new}"),
    "calculation": Field("{old} -> {new}"),
    "negation removed": Field("negation of {of} removed"),
    "negation added": Field("{of} negated"),
    "function": Field("function {old} replaced by {new}"),
    "output": Field(lambda e: f"output {e.of} of {e.owner}: {e.old or 'nothing'} -> {e.new or 'nothing'}"),
    **_PINS,
}
STATEMENTS: dict[str, Field] = {
    "spelling alone": Field("only the spelling differs"),
    "proved": proof("proved to act the same"),
    "whole body": proof("the whole body acts the same"),
    "users proved": proof("whatever uses it was proved to act the same"),
    "way of writing": Field("written in another way"),
    "text not understood": Field("text that could not be understood differs"),
    "code": named("{old} replaced by {new}"),
    "code added": Field("{new}"),
    "code removed": Field("{old}"),
    "label added": Field("label {new}"),
    "label removed": Field("label {old}"),
    "target": named("target {old} replaced by target {new}"),
    "coil": named("coil {old} replaced by coil {new}"),
    "kind of coil": Field(_kind(COILS)),
    "kind of assignment": Field(_kind(ASSIGNMENTS)),
    "call": named("call of {old} replaced by {new}"),
    "block type": Field(lambda e: f"block type {e.old or 'unknown'} replaced by {e.new or 'unknown'}"),
    "jump target": Field("jump target {old} replaced by {new}"),
    "condition added": Field("now only while {new}"),
    "condition removed": Field("no longer only while {old}"),
}
BRANCHES: dict[str, Field] = {
    **{what: Field(f"{what}: {{inner}}") for what in
       ("condition", "selector", "loop condition", "loop variable", "first value", "last value")},
    "step width": Field("step: {inner}"),
    "IF branch added": Field("branch added: IF {new}", "behaviour"),
    "IF branch removed": Field("branch removed: IF {old}", "behaviour"),
    "order of branches": Field("branch is tried at another place in the order", "behaviour"),
    "CASE arm added": Field("CASE arm added: {new}", "behaviour"),
    "CASE arm removed": Field("CASE arm removed: {old}", "behaviour"),
    "order of arms": Field(
        "arm stands at another place; labels that overlap would be tried in another order", "undecided"
    ),
    "labels": Field("labels: {old} -> {new}"),
}  # fmt: skip


def _moved(e: Edit) -> str:
    """A piece that passes others keeps its number where as many came or went before it."""
    past = f"{e.of} {e.new} moved past others and has the number it had"
    return past if e.old == e.new else f"{e.of} {e.old} moved to {e.of} {e.new}"


ORDER: dict[str, Field] = {
    "moved": headline(lambda e: f"{_moved(e)}: {e.owner}"),
    "moved too": note(_moved),
    "unaffected": note("nothing it passes is affected"),
    "program flow": note("program flow: a jump, label or return is passed"),
    "read before written": note(_order("is now read before it is written")),
    "read after written": note(_order("is now read after it is written")),
    "written last by the first": note(_order("is now written last by what was written first")),
    "counted": note("it depends on how words are counted whether {of} and {owner} share memory; if so, {inner}"),
    "elsewhere": note(lambda e: f"{_ELSEWHERE} may depend on {e.of or _OTHER}"),
    "elsewhere written": note(f"{_ELSEWHERE} may write {{of}}"),
    "through a reference": note(lambda e: f"what a block does through a reference may depend on {e.of or _OTHER}"),
    "referred": note("what {of} refers to may be touched by the other"),
    "runs before": Field("{of} now runs before {owner}: {all}"),
    **{f"doubted {kind}": Field(f"compilers that go by {{new}} now {words}") for kind, words in _DOUBTS.items()},
    **{f"agreed {kind}": Field(f"compilers that go by {{old}} no longer {words}") for kind, words in _DOUBTS.items()},
    "doubted said": Field("execution order in doubt: {of}"),
    "agreed said": Field("execution order no longer in doubt: {of}"),
}
COMMENTS: dict[str, Field] = {
    **{f"{what} {kind}": Field(f"{words} {kind}: {{{side}}}", "documentation")
       for what, words in _COMMENTS.items() for kind, side in (("removed", "old"), ("added", "new"), ("moved", "new"))},
    **{what: Field(f"{words}: {{old}} -> {{new}}", "documentation")
       for what, words in _COMMENTS.items() if what != "comment"},
    "comments moved": Field("comments moved", "documentation"),
}  # fmt: skip
BODIES: dict[str, Field] = {
    "language": headline("language {old} replaced by {new}"),
    "worksheet": headline(lambda e: f"{e.of} {came(e)}" + (f" (in {name(e)})" if name(e) else "")),
    "same statements": note("the statements are the same"),
    "chart": Field(lambda e: f"sequential chart {came(e)}", "behaviour"),
    "statement": each("{about}"),
    "piece": each("{inner}"),
    "besides": each("{inner}", note=True),
    "title": Field("title: {old} -> {new}", "documentation"),
    "label": Field("label: {old} -> {new}"),
    "without effect": Field("without effect"),
    "split": headline("{old} split into {new}", "equivalent"),
    "merged": headline("{old} merged into {new}", "equivalent"),
    "same order": note("the statements are the same, in the same order"),
}


def _one_sided_step(kind: str) -> Field:
    def said(e: Edit) -> str:
        actions = e.old or e.new or ""
        what = "actions" if ", " in actions else "action"
        return f"step {e.of} {kind}" + (f", with its {what} {actions}" if actions else "")

    return Field(said, "behaviour")


def _one_sided_action(words: str) -> Field:
    def said(e: Edit) -> str:
        return f"{e.of} {words} step {e.owner}" + "".join(f" with qualifier {i.new}" for i in e.inner)

    return Field(said, "behaviour")


CHARTS: dict[str, Field] = {
    "step added": _one_sided_step("added"),
    "step removed": _one_sided_step("removed"),
    "initial step added": Field("step {of} is now the initial step", "behaviour"),
    "initial step removed": Field("step {of} is no longer the initial step", "behaviour"),
    "macro step added": Field("step {of} is now a macro step", "behaviour"),
    "macro step removed": Field("step {of} is no longer a macro step", "behaviour"),
    "body of macro step": Field(lambda e: f"body of the macro step {came(e)}", "behaviour"),
    "spelling of name": Field("only the spelling of the name differs", "documentation"),
    "transition added": Field("transition {of} added: {new}"),
    "transition removed": Field("transition {of} removed: {old}"),
    "transition code added": note("{new}"),
    "transition code removed": note("{old}"),
    "source of transition": Field("transition to {of} now leaves {new} (was {old})", "behaviour"),
    "target of transition": Field("transition from {of} now leads to {new} (was {old})", "behaviour"),
    "priority of transition": Field("priority {old} -> {new}", "behaviour"),
    "condition of transition": Field("condition: {inner}"),
    "name of transition": Field("name: {old} -> {new}", "documentation"),
    "listing of steps": Field("the joined steps are listed in another order or spelling", "documentation"),
    "listing of chart": Field("steps or transitions listed in another order", "documentation"),
    "order of alternatives": headline("alternatives leaving step {of} are tried in another order", "behaviour"),
    "now tried": note("now tried: {new}"),
    "action added": _one_sided_action("added to"),
    "action removed": _one_sided_action("removed from"),
    "qualifier": note("qualifier {new}"),
    "action of step": Field("{old} replaced by {new} in step {owner}", "behaviour"),
    "qualifier of action": Field("qualifier of {of} in step {owner}: {old} -> {new}", "behaviour"),
    "time of action": Field("time of {of} in step {owner}: {old} -> {new}", "behaviour"),
    "indicator": Field("indicator: {old} -> {new}", "behaviour"),
    "order of actions": headline("actions of step {of} are listed in another order", "undecided"),
    "actions": note("{old} -> {new}"),
    "inline code added": Field("inline code of step {of} added", "behaviour"),
    "inline code removed": Field("inline code of step {of} removed", "behaviour"),
}
LOGIC: dict[str, Field] = {**CHARTS, **EXPRESSIONS, **STATEMENTS, **BRANCHES, **ORDER, **COMMENTS, **BODIES}
