"""IEC 61131-3 text files: whatever declares a program unit, type, global or configuration, under any file name."""

from __future__ import annotations

from asfound.language.documents import STRAY, declares, parse_program
from asfound.language.near_keywords import Odd
from asfound.language.tokens import position
from asfound.model.copy import Copy, Finding
from asfound.readers.encoding import decode
from asfound.readers.oddities import told
from asfound.readers.reader import Probe, Reader


def recognise(probe: Probe) -> bool:
    """Text with a declaration keyword outside comments, strings and pragmas."""
    return probe.root is None and declares(probe.text)


def read(data: bytes, name: str) -> Copy:
    """The declarations of one file. A guessed encoding and text outside all declarations are findings.

    Raises :class:`~asfound.model.problem.Problem` with line and column when a declaration cannot be read.
    """
    decoded = decode(data)
    odd: list[Odd] = []
    program = parse_program(decoded.text, name, odd=odd)

    def place(at: int) -> str:
        line, column = position(decoded.text, at)
        return f"{name}, line {line}, column {column}"

    findings = told(odd, lambda each: place(each.at))
    if decoded.guessed:
        findings.append(Finding("note", name, f"the encoding is not declared; read as {decoded.encoding}"))
    for extension in program.extensions:
        if extension.path == STRAY:
            text = "text outside all declarations; it is kept and compared as text"
            findings.append(Finding("warning", place(decoded.text.find(extension.text)), text))
    return Copy(program=program, findings=tuple(findings))


READER = Reader(
    name="iec-text",
    title="IEC 61131-3 text",
    standard="IEC 61131-3:2013, and common extensions of it",
    suffixes=(".st", ".iec", ".il", ".txt"),
    holds="POUs in structured text, instruction list and textual charts; types, globals, tasks",
    recognise=recognise,
    read=read,
)
