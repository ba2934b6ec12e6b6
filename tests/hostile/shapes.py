"""Documents in the words of the formats that no tool would write; ``pick(n)`` chooses a whole number below ``n``.

What may stand inside what is learnt from the seeds; now and then something else is put there. So most of a tree is
understood far enough to reach the code behind, and the rest is wrong in ways that damage to bytes never makes.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import TypeVar

from lxml import etree

from hostile.seeds import seeds

T = TypeVar("T")
Pick = Callable[[int], int]

ODD_VALUES = (
    "", "0", "1", "-1", "2", "3", "99999999999999999999", "9" * 5000, "--1", "1e999", "NaN", "٣", "²", "true", "TRUE", "x", "x y", "A.B[1]",
    "%IX0.0", "%Q*", "%MW99999999999", "T#5s", "16#FF", "'a'", "(", ")", "a AND NOT b", "a := b; c();", "LD a\nST b",
    "END_PROGRAM", "(*", "*)", "//", "{", "\u202e", "\x7f", "\n", "../x", "CON", "é", "e\u0301", "\U0001f600", "_" * 300,
)  # fmt: skip
WORDS = (
    "PROGRAM", "END_PROGRAM", "FUNCTION_BLOCK", "END_FUNCTION_BLOCK", "FUNCTION", "END_FUNCTION", "CLASS", "END_CLASS",
    "INTERFACE", "END_INTERFACE", "METHOD", "END_METHOD", "PROPERTY", "END_PROPERTY", "GET", "END_GET", "NAMESPACE",
    "END_NAMESPACE", "USING", "EXTENDS", "IMPLEMENTS", "PUBLIC", "ABSTRACT", "FINAL", "OVERRIDE", "TYPE", "END_TYPE",
    "STRUCT", "END_STRUCT", "UNION", "END_UNION", "ARRAY", "[0..3]", "OF", "REF_TO", "POINTER TO", "STRING", "[20]",
    "VAR", "VAR_INPUT", "VAR_OUTPUT", "VAR_IN_OUT", "VAR_EXTERNAL", "VAR_GLOBAL", "VAR_TEMP", "VAR_CONFIG", "VAR_ACCESS",
    "END_VAR", "RETAIN", "PERSISTENT", "CONSTANT", "AT", "%IX0.0", "%Q*", ":", ";", ",", ":=", "=>", "(", ")", "[", "]",
    "..", ".", "^", "IF", "THEN", "ELSIF", "ELSE", "END_IF", "CASE", "END_CASE", "FOR", "TO", "BY", "DO", "END_FOR",
    "WHILE", "END_WHILE", "REPEAT", "UNTIL", "END_REPEAT", "EXIT", "CONTINUE", "RETURN", "JMP", "a", "b", "c.d", "t1",
    "a[1]", "THIS", "SUPER", "INT", "BOOL", "TON", "TIME", "T#5s", "16#FF", "1.5E3", "'x$'y'", '"w"', "TRUE", "NOT", "AND",
    "&", "OR", "XOR", "MOD", "+", "-", "*", "/", "**", "=", "<>", "<=", ">", "S=", "R=", "REF=", "?=", "(*", "*)", "//",
    "/*", "*/", "{", "}", "{attribute 'x' := 'y'}", "\n", "\n", "LD", "LDN", "ANDN(", "OR(", "ST", "STN", "S", "R", "CAL",
    "CALC", "JMPC", "RETC", "GT", "a:", "STEP", "INITIAL_STEP", "END_STEP", "TRANSITION", "END_TRANSITION", "FROM",
    "ACTION", "END_ACTION", "CONFIGURATION", "END_CONFIGURATION", "RESOURCE", "END_RESOURCE", "ON", "TASK", "WITH",
    "SINGLE", "INTERVAL", "PRIORITY", "EN", "ENO", "__NEW", "é", "😀", "\u202e", "$", "#", "@", "\\", "`",
)  # fmt: skip
HEADINGS = (
    "Name", "Address", "Type", "Comment", "Value", "Actual value", "Initial value", "Forced value", "Unit", "Station",
    "Rack", "Slot", "Module", "Order number", "Firmware", "Input start", "Input length", "Output start", "Output length",
    "Current", "", "Name", "Further",
)  # fmt: skip


class Grammar:
    """Which children, attribute values and texts each element of a document has (names with their namespace)."""

    def __init__(self, data: Sequence[bytes]) -> None:
        self.children: dict[str, list[str]] = {}
        self.values: dict[str, list[tuple[str, str]]] = {}
        self.texts: dict[str, list[str]] = {}
        self.root = ""
        for document in data:
            top = etree.fromstring(document)
            self.root = str(top.tag)
            for element in top.iter("{*}*"):
                self._learn(element)
        self.names = sorted(self.children)

    def _learn(self, element: etree._Element) -> None:
        tag = str(element.tag)
        inside = self.children.setdefault(tag, [])
        inside += sorted({str(child.tag) for child in element} - set(inside))
        for pair in element.items():
            known = self.values.setdefault(tag, [])
            if pair not in known and sum(name == pair[0] for name, _ in known) < 12:
                known.append((str(pair[0]), str(pair[1])))
        text = (element.text or "").strip()
        if text and len(self.texts.setdefault(tag, [])) < 12:
            self.texts[tag].append(text)


@lru_cache
def grammars() -> tuple[Grammar, ...]:
    """One per format: the older exchange format, the one of the standard, AutomationML."""
    all_seeds = seeds()
    programs = [data for name, data in all_seeds.items() if name.startswith("program")]
    return (
        Grammar(programs),
        Grammar([all_seeds["ten.xml"]]),
        Grammar([all_seeds["hardware.aml"], all_seeds["intake.aml"]]),
    )


def one(pick: Pick, several: Sequence[T]) -> T:
    """One of several."""
    return several[pick(len(several))]


def tree(pick: Pick, size: int = 60) -> bytes:
    """An XML document of about ``size`` elements."""
    grammar = one(pick, grammars())
    top = etree.Element(grammar.root)
    open_elements = [top]
    _dress(pick, grammar, top)
    for _ in range(pick(size) + 1):
        parent = open_elements[-1 - min(pick(6), len(open_elements) - 1)]
        known = grammar.children.get(str(parent.tag), [])
        tag = one(pick, known) if known and pick(10) else one(pick, grammar.names)
        child = etree.SubElement(parent, tag)
        _dress(pick, grammar, child)
        open_elements.append(child)
    return etree.tostring(top, xml_declaration=True, encoding="utf-8")


def _dress(pick: Pick, grammar: Grammar, element: etree._Element) -> None:
    known = grammar.values.get(str(element.tag), [])
    for name, value in known:
        if pick(4):
            element.set(name, value if pick(5) else _plain(one(pick, ODD_VALUES)))
    texts = grammar.texts.get(str(element.tag), [])
    if texts and pick(5):
        element.text = one(pick, texts)
    elif not pick(12):
        element.text = _plain(one(pick, ODD_VALUES))


def _plain(text: str) -> str:
    """Without what XML cannot hold."""
    return "".join(sign for sign in text if sign >= " " or sign in "\n\t")


def iec_text(pick: Pick, size: int = 60) -> bytes:
    """Words of IEC 61131-3 text in any order, inside a frame now and then."""
    words = [one(pick, WORDS) for _ in range(pick(size) + 1)]
    if pick(4):
        words = ["PROGRAM p VAR a : BOOL; END_VAR\n", *words, "\nEND_PROGRAM\n"]
    return one(pick, (" ", "\n", "")).join(words).encode()


def table(pick: Pick, size: int = 12) -> bytes:
    """Rows of a table with known headings in any order and cells of any kind."""
    delimiter = one(pick, (";", ",", "\t", "|"))
    heading = [one(pick, HEADINGS) for _ in range(pick(8) + 2)]
    rows = [[_cell(pick) for _ in range(pick(10))] for _ in range(pick(size))]
    text = "\n".join(delimiter.join(row) for row in [heading, *rows])
    return text.encode(one(pick, ("utf-8", "utf-8", "utf-16", "utf-8-sig")), "surrogatepass")


def _cell(pick: Pick) -> str:
    text = one(pick, (*ODD_VALUES, "BOOL", "Pump", "%Q0.1", "%IW4", "I 0.0", "=1+1", '"', '"a;b"', "\x1b[2J", "\0"))
    return f'"{text}"' if not pick(6) else text
