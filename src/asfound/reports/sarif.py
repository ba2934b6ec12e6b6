"""The changes of a comparison and the findings of an inspection as SARIF 2.1.0 (OASIS, 2020), for review pages.

A result points into a file of the new side, or of the old one for what was removed. The place is found by text: the
files are asked for the names along the path of the change, the most particular first, in quotes (XML), as a cell of a
table, or as a declaration (IEC text). The line is the first such place; without any the result points at the first
file as a whole, and the place in words (``logicalLocations``) always stands beside it. Cost: one search per name.

Texts of exports stand in messages, where brackets would make a link of them: section 3.11.6 says how they are written.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any

import asfound
from asfound.checks.findings import Finding, Inspection
from asfound.compare.result import EFFECTS, Change, Comparison
from asfound.readers.container import is_container
from asfound.reports.words import EFFECT_WORDS

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/os/schemas/sarif-schema-2.1.0.json"
LEVELS = {"documentation": "note", "equivalent": "note", "undecided": "warning", "behaviour": "warning"}
Files = Sequence[tuple[str, bytes]]
"""(address from where the review page starts, with ``/``; bytes)."""


def document(comparison: Comparison, inspection: Inspection, old: Files, new: Files) -> dict[str, Any]:
    """The log: one run, a rule for each effect and each kind of finding, results in the order of the reports."""
    changes = [_change(change, old if change.kind == "removed" else new) for change in comparison.changes]
    findings = [_finding(finding, new) for finding in inspection.findings]
    rules = [{"id": effect, "shortDescription": {"text": EFFECT_WORDS[effect]}} for effect in EFFECTS]
    checks = sorted({finding.check for finding in inspection.findings})
    rules += [{"id": _rule(check), "shortDescription": {"text": check}} for check in checks]
    limits = dict.fromkeys((*comparison.limits, *inspection.limits))
    notes = [{"level": "note", "message": _message(limit)} for limit in limits]
    driver = {"name": "asfound", "version": asfound.__version__, "rules": rules}
    run = {
        "tool": {"driver": driver},
        "invocations": [{"executionSuccessful": True, "toolExecutionNotifications": notes}],
        "results": [*changes, *findings],
    }
    return {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}


def write(comparison: Comparison, inspection: Inspection, old: Files, new: Files) -> str:
    """The log as text, with two blanks of indent and one final newline."""
    import msgspec

    found = msgspec.json.encode(document(comparison, inspection, old, new))
    return msgspec.json.format(found, indent=2).decode("utf-8") + "\n"


def _change(change: Change, files: Files) -> dict[str, Any]:
    said = [f"{change.where}: {change.summary}", *change.details]
    if change.reached:
        said.append(f"Can reach: {', '.join(change.reach[: len(change.reached)])}")
    return _result(change.effect, LEVELS[change.effect], "\n".join(said), change.where, _names(change.path), files)


def _names(path: Sequence[str]) -> list[str]:
    """Names along a path, the most particular first."""
    return [part.split(":", 2 if part.startswith("module:") else 1)[-1] for part in reversed(path)]


def _finding(finding: Finding, files: Files) -> dict[str, Any]:
    text = f"{finding.where}: {finding.text}\n{finding.reason}"
    return _result(_rule(finding.check), finding.severity, text, finding.where, _names(finding.path), files)


def _rule(check: str) -> str:
    return "finding/" + check.replace(" ", "-")


def _result(rule: str, level: str, text: str, where: str, names: Sequence[str], files: Files) -> dict[str, Any]:
    place: dict[str, Any] = {"logicalLocations": [{"fullyQualifiedName": where}]}
    if files:
        address, line = next(_places(names, files), (files[0][0], 0))
        physical: dict[str, Any] = {"artifactLocation": {"uri": _uri(address)}}
        if line:
            physical["region"] = {"startLine": line}
        place["physicalLocation"] = physical
    return {"ruleId": rule, "level": level, "message": _message(text), "locations": [place]}


def _message(text: str) -> dict[str, str]:
    """A message in which nothing is a link (SARIF 2.1.0, 3.11.6).

    >>> _message("Motor[1] \\\\ B")["text"]
    'Motor\\\\[1\\\\] \\\\\\\\ B'
    """
    return {"text": re.sub(r"([\\\[\]])", r"\\\1", text)}


def _uri(address: str) -> str:
    """A path as RFC 3986 writes it: relative where it is relative, else with ``file:``; bytes that are no UTF-8 too.

    >>> _uri("exports/süd 100%/a:b.xml"), _uri("/x/y"), _uri("C:/x")
    ('exports/s%C3%BCd%20100%25/a%3Ab.xml', 'file:///x/y', 'file:///C:/x')
    """
    from urllib.parse import quote

    drive = re.match(r"[A-Za-z]:(?=/)", address)
    path = quote(address[drive.end() if drive else 0 :].encode("utf-8", "surrogateescape"), safe="/")
    if drive:
        return f"file:///{drive[0]}{path}"
    if address.startswith("//"):  # a share of Windows
        return f"file:{path}"
    return f"file://{path}" if address.startswith("/") else path


def _places(names: Sequence[str], files: Files) -> Iterator[tuple[str, int]]:
    """(address, line from 1) of each name that is found in a file; nothing in a container has a line."""
    for name in names:
        if not re.search(r"[^\W\d]", name):  # the number of a rung is no name
            continue
        word = re.escape(name.encode("utf-8", "surrogatepass"))
        keyword = rb"^\s*(?:PROGRAM|FUNCTION_BLOCK|FUNCTION|CLASS|INTERFACE|NAMESPACE)\s+"
        pattern = re.compile(
            rb'name="%b"|^"?%b"?\s*[,;\t:]|%b%b\b|^\s*%b\s*(?::|AT\b)' % (word, word, keyword, word, word), re.I | re.M
        )
        for address, data in files:
            if found := pattern.search(data):
                start = found.end() - 1
                yield address, 0 if is_container(data) else data.count(b"\n", 0, start) + 1
