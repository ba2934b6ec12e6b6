"""Fields of everything but logic: declarations, types, tasks, tags, hardware, values, forces, unknown data."""

from __future__ import annotations

from collections.abc import Callable

from asfound.compare.result import Edit
from asfound.compare.wording.fields import Field, came, headline, name, note, short

SECTIONS = {
    "input": "input", "output": "output", "in_out": "in/out variable", "local": "local variable", "temp": "temporary",
    "external": "external variable", "global": "global variable", "access": "access path",
    "config": "configured variable", "member": "member",
}  # fmt: skip
Words = Callable[[Edit], str]


def _default(words: str, empty: str) -> Words:
    """The words with another text than ``none`` for what is empty."""
    return lambda e: words.format(old=e.old or empty, new=e.new or empty)


def _now(e: Edit) -> str:
    return f"{'now' if e.new else 'no longer'} {name(e)}"


def _setting(what: str) -> Words:
    def words(e: Edit) -> str:
        if e.old is None and e.new is None:
            return f"{what} the same settings in another form"
        old, new = (short("none" if text is None else text) for text in (e.old, e.new))
        return f"{what} {e.of}: {old} -> {new}"

    return words


def _lacking(e: Edit) -> str:
    return f"{e.of} cannot be compared: the {e.owner} copy holds no {name(e)}{_tuned(e)}"


def _tuned(e: Edit) -> str:
    """How many values of a list are tuned, and the first of them."""
    return f"; {len(e.inner)} of them tuned: {_listed(e.inner[0])}" if e.inner else ""


def _actual(count: str) -> str:
    return "actual value" if count == "1" else f"{count} actual values"


def _listed(e: Edit) -> str:
    return f"{e.of}: {e.new}" + "".join(f" (initial {i.new})" for i in e.inner)


def _started(words: str) -> Words:
    """A value beside the one that the program of the owner starts with."""

    def said(e: Edit) -> str:
        start, value = (e.new, e.old) if e.owner == "new" else (e.old, e.new)
        aside = "".join(f" ({i.field} {i.new})" for i in e.inner if i.field == "initial")
        more = "".join(f" (and {i.new} more)" for i in e.inner if i.field == "more")
        return words.format(of=e.of, value=f"{value}{aside}", owner=e.owner, start=start) + more

    return said


def _value(what: str) -> Words:
    def words(e: Edit) -> str:
        remarks = "".join(f" ({i.new if i.field == 'by' else i.field})" for i in e.inner)
        return f"{what} value {e.old or 'none'} -> {e.new or 'none'} {e.of}".rstrip() + remarks

    return words


def _scope(e: Edit) -> str:
    ways = {
        ("scope", "out"): "local variable of {old} -> global variable in {new}",
        ("scope", "in"): "global variable in {old} -> local variable of {new}",
        ("scope unseen", "out"): "local variable of {old} -> external variable, which no export declares",
        ("scope unseen", "in"): "external variable, which no export declares -> local variable of {new}",
    }
    return f"{e.of}: {ways[e.field, e.owner].format(old=e.old, new=e.new)}"


def _scopes(e: Edit) -> str:
    ways = {
        ("scopes", "out"): "{of} local variables of {old} became global, in {new}",
        ("scopes", "in"): "{of} global variables in {old} became local to {new}",
        ("scopes unseen", "out"): "{of} local variables of {old} became external, and no export declares them",
        ("scopes unseen", "in"): "{of} external variables, which no export declares, became local to {new}",
    }
    return ways[e.field, e.owner].format(of=e.of, old=e.old, new=e.new)


PARTS: dict[str, Field] = {
    "used": note(lambda e: f"{e.of} used in {e.new}".lstrip()),
    "used more": note(lambda e: f"{e.of} used in {e.new} more place{'' if e.new == '1' else 's'}".lstrip()),
    "unused": note("no statement of this program uses it"),
    # of several areas
    "spelling": Field("spelling of the name: {old} -> {new}", "documentation"),
    "spelled": Field("spelling: {old} -> {new}", "documentation"),
    "comment": Field("comment: {old} -> {new}", "documentation"),
    "pragmas": Field("pragmas: {old} -> {new}", "undecided"),
    "order of pragmas": Field("pragmas in another order", "undecided"),
    "namespace": Field("namespace: {old} -> {new}", "undecided"),
    "address": Field("address {old} -> {new}", "behaviour"),
    "type": Field("type {old} -> {new}", "behaviour"),
    "kind": Field("kind {old} -> {new}", "behaviour"),
    "name": Field("name {old} -> {new}", "documentation"),
    "setting": Field(_setting("setting"), "behaviour"),
    "column": Field(_setting("column"), "undecided"),
    "order of settings": Field("settings listed in another order", "documentation"),
    "swapped addresses": headline("{of} and {owner} swapped their addresses {old} and {new}", "behaviour"),
    "address taken": Field("{of}: {old} -> {new}", "behaviour"),
    "data added": Field("{of} added", "undecided"),
    "data removed": Field("{of} removed", "undecided"),
    "data changed": Field("{of} changed", "undecided"),
    "whole list": headline(_lacking, "undecided"),
    "listed": note("{new}"),
    "not in words": Field("differs in a way that cannot be put into words here; compare the two texts", "undecided"),
    # variables and lists of them
    "variable": headline(lambda e: f"{SECTIONS[e.owner]} {e.of} : {name(e)} {came(e)}"),
    "at": note("at {new}"),
    "not zero": note("its memory does not start with zero"),
    "section": Field(lambda e: f"{SECTIONS[e.old or '']} -> {SECTIONS[e.new or '']}", "behaviour"),
    "initial value": Field("initial value {old} -> {new} (takes effect when it is initialised)", "behaviour"),
    "initial value written": Field("initial value {old} -> {new} (the same value)", "documentation"),
    "constant": Field(_now, "behaviour"),
    "persistent": Field(_now, "behaviour"),
    "retain": Field(lambda e: f"retain: {e.old or 'no'} -> {e.new or 'no'}".replace("_", "-"), "behaviour"),
    "edge": Field(_default("edge: {old} -> {new}", "no"), "behaviour"),
    "access": Field(_default("access: {old} -> {new}", "not given"), "behaviour"),
    "order of named": Field("{of} listed in another order", "documentation"),
    "order of declarations": Field("declarations listed in another order: {new}", "documentation"),
    "order of section": headline(lambda e: f"order of {SECTIONS[e.of]}s changed: {e.new} moved", "behaviour"),
    "order": Field("{old} -> {new}", "behaviour"),
    "global list": Field(lambda e: f"{'' if ' ' in name(e) else 'global list '}{name(e)} {came(e)}"),
    "list of variable": Field("{of} moved from list {old} to {new}", "documentation"),
    "list of variables": headline("{of} variables moved from list {old} to {new}", "documentation"),
    "written as blocks": Field("written as {new} blocks instead of {old}", "documentation"),
    "scope of list": Field("scope {old} -> {new}", "undecided"),
    "scope": Field(_scope, "equivalent"),
    "scope unseen": Field(_scope, "undecided"),
    "scopes": headline(_scopes, "equivalent"),
    "scopes unseen": headline(_scopes, "undecided"),
    "declared": note("{new}"),
    "new at each call": note("what a call keeps for itself starts anew each time; a global variable keeps its value"),
    "several instances": note(
        "{of} may have several instances, each with a variable of its own; a global one is the same for all"
    ),
    "retained instance": note(
        "the instance of {of} is retained with all its variables; a global one is so by itself alone"
    ),
    "written elsewhere": note("{of} is also written in {new}"),
    "named elsewhere": note("{new} uses the name {of} too, which was declared nowhere else"),
    "another": note("the local {of} and the global {of} are two variables: both copies have the global one"),
    "reached through": note("{of} is reached through its instance in {new}"),
    # types and blocks
    "data type": headline("type {name} {came}"),
    "data type unused": note("not used by this program"),
    "declared kind": Field(lambda e: f"kind: {e.old} -> {e.new}".replace("_", " "), "behaviour"),
    "base": Field("base: {old} -> {new}", "behaviour"),
    "enum value added": Field("value {of} added at place {new}", "behaviour"),
    "enum value removed": Field("value {of} removed", "behaviour"),
    "enum value moved": Field("value {of} moved from place {old} to {new}", "behaviour"),
    "enum value": Field("value {of}: {old} -> {new}", "behaviour"),
    "enum comment": Field("comment of {of}: {old} -> {new}", "documentation"),
    "block": headline("{of} {name} {came}", "behaviour"),
    "block unused": note("not called by this program"),
    "result": Field("result type: {old} -> {new}", "behaviour"),
    "extends": Field("extends: {old} -> {new}", "behaviour"),
    "implements": Field("implements: {old} -> {new}", "behaviour"),
    "modifiers": Field("modifiers: {old} -> {new}", "behaviour"),
    "action": Field("{of} {name} {came}", "behaviour"),
    "action name": Field("name: {old} -> {new}", "documentation"),
    # tasks, libraries, the heading
    "nothing runs": note("nothing runs in it"),
    "no program": note("no program runs in it"),
    "never runs": note("whatever uses it never runs"),
    "resource": Field("resource {name} {came}", "behaviour"),
    "configuration": Field("configuration {old} -> {new}", "documentation"),
    "task comment": Field("comment {old} -> {new}", "documentation"),
    "task scope": Field("scope {old} -> {new}", "documentation"),
    "order of tasks": Field("tasks or programs listed in another order"),
    "whole task": Field("task {name} {came} ({all})", "behaviour"),
    "every": note("every {new}"),
    "on": note("on {new}"),
    "whenever": note("neither interval nor event"),
    "with priority": note("priority {new}"),
    "interval": Field("interval {old} -> {new}", "behaviour"),
    "priority": Field("priority {old} -> {new}", "behaviour"),
    "trigger": Field("triggered by {old} -> {new}", "behaviour"),
    "task": Field("task {old} -> {new}", "behaviour"),
    "instance": Field("program {name} : {of} {came} ({inner})", "behaviour"),
    "in task": note("in task {new}"),
    "without a task": note("without a task"),
    "library": headline("library {name} {of} {came}", "undecided"),
    "library version": Field("version {old} -> {new}", "undecided"),
    "library setting": Field(_setting("setting"), "undecided"),
    "library not shown": note("the code of a library is not part of an export"),
    "library unknown": note("the code of a library is not part of an export, so what it does differently is unknown"),
    "library written": Field("written in another way", "documentation"),
    **{
        f"project {what}": Field(f"{what} {{old}} -> {{new}}", "documentation")
        for what in ("name", "version", "author", "organization", "language", "comment", "tool")
    },
    "project setting": Field(_setting("setting"), "documentation"),
    # tags
    "whole tag": headline(lambda e: f"tag {e.of} {came(e)}" + (f" ({name(e)})" if name(e) else "")),
    "table": Field("table {old} -> {new}", "documentation"),
    "also in table": note("also in table {new}"),
    "empty table": Field("empty tag table {name} {came}", "documentation"),
    # hardware
    "device": Field("device {name} {came}", "behaviour"),
    "device name": Field("device {old} is called {new} now"),
    "reached by name": note("whatever reaches it over a network by its name has to follow"),
    "device spelling": Field("spelling of the name {old} -> {new}", "documentation"),
    "device comment": Field("comment {old} -> {new}", "documentation"),
    "folder": Field("folder {old} -> {new}", "documentation"),
    "subnet": Field("network {name} {came}", "behaviour"),
    "module": Field("module {name} {came}", "behaviour"),
    "module in slot": Field("module {name} in slot {of} {came}", "behaviour"),
    "module moved": Field("module {of} moved from {old} to {new}", "behaviour"),
    "slot": Field(_default("moved from slot {old} to slot {new}", "unknown"), "behaviour"),
    "replaced": headline("{all}"),
    "order number": Field("part number {old} -> {new}", "behaviour"),
    "firmware": Field("firmware {old} -> {new}", "undecided"),
    "built in": Field(_now, "behaviour"),
    "order of addresses": Field("addresses of {of} listed in another order", "documentation"),
    "addresses shifted": Field("addresses of module {of} shifted: {old} -> {new}", "behaviour"),
    "addresses changed": Field("addresses of module {of} changed: {old} -> {new}", "behaviour"),
    "channel": Field(lambda e: f"{name(e)} {came(e)}" + (f" (tag {e.of})" if e.of else ""), "behaviour"),
    "order of channels": Field("channels listed in another order", "documentation"),
    "tag": Field("tag {old} -> {new}", "behaviour"),
    "direction": Field("direction {old} -> {new}", "behaviour"),
    "length": Field("length {old} -> {new}", "behaviour"),
    "number": Field("number {old} -> {new}", "behaviour"),
    "interface": Field(lambda e: f"network interface {name(e)} {came(e)} ({e.of or 'no address'})", "behaviour"),
    "order of interfaces": Field("network interfaces listed in another order", "documentation"),
    "network address": Field("network address {old} -> {new}", "behaviour"),
    "network": Field("network {old} -> {new}", "behaviour"),
    "overlap": Field("{of} and {name} share {inner}", "behaviour"),
    "possible overlap": Field("{of} and {name} may share memory, depending on how words are counted", "undecided"),
    "shared": note("{new}"),
    # values and forces
    "value": headline(
        lambda e: f"actual value of {e.of} {'now' if e.old is None else 'no longer'} recorded: {name(e)}", "undecided"
    ),
    "incomparable": note("nothing to compare it with"),
    "listed value": note(_listed),
    "other start": Field(_started("{of}: {value}; the {owner} copy starts with {start}"), "behaviour"),
    "tuned beside start": headline(_started("{of} tuned: {value}, the {owner} copy starts with {start}"), "behaviour"),
    "initial": note("initial {new}"),
    "more": note("and {new} more"),
    "same starts": headline(
        lambda e: f"the {e.owner} copy starts with the {_actual(e.of)} of the other{_tuned(e)}", "equivalent"
    ),
    "tuned": headline("{old} -> {new} {of}", "behaviour"),
    "actual value": Field(_value("actual"), "behaviour"),
    "start value": Field(_value("initial"), "behaviour"),
    "the same value": note("the same value"),
    "within the stated tolerance": note("within the stated tolerance"),
    "by": note("{new}"),
    "unit": Field("unit {old} -> {new}", "undecided"),
    "not initial": note("differs from the initial value {new}, which a cold start or a download may bring back"),
    "force": Field(lambda e: f"{e.of} is {'no longer ' if e.new is None else ''}forced to {name(e)}", "behaviour"),
    "forced": Field("forced to {old} -> {new}", "behaviour"),
    # files
    "file name": Field("file {old} is now called {new}; its bytes are the same", "documentation"),
    "file": Field("file {name} {came}; no reader understands it", "undecided"),
}
