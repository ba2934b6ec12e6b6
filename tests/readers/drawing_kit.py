"""A builder of TC6 documents for tests, so that a case is a few readable lines.

>>> d = Drawing("LD")
>>> run = d.contact("Stop", d.contact("Start", d.rail) | d.contact("Run", d.rail), negated=True)
>>> _ = d.coil("Run", run)
>>> print(statements(d))
Run := (Run OR Start) AND NOT Stop;

``|`` joins wires into one point. Whatever the format has an attribute for can be given by its name.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from xml.sax.saxutils import escape, quoteattr

from asfound.language import printer, statement_printer
from asfound.language.normal import normal_form, normal_sha256
from asfound.model.copy import Copy
from asfound.model.program import Body, Pou
from asfound.readers.reading import read

TC6 = "http://www.plcopen.org/xml/tc6_0201"
XHTML = "http://www.w3.org/1999/xhtml"
URI = "http://example.org/plcopenxml/"
"""Before the name of most extension data seen in public files."""


@dataclass(frozen=True)
class Wires:
    """One or more ``(element id, pin)`` to be wired into one point."""

    ends: tuple[tuple[str, str], ...]

    def __or__(self, other: Wires) -> Wires:
        return Wires(self.ends + other.ends)

    def __getitem__(self, pin: str) -> Wires:
        return Wires(tuple((end, pin) for end, _ in self.ends))


NOWHERE = Wires(())


def attributes(**given: object) -> str:
    """Attributes of an element; false and None are left out."""
    shown = {
        k.rstrip("_"): "true" if v is True else str(v) for k, v in given.items() if v is not None and v is not False
    }
    return "".join(f" {k}={quoteattr(v)}" for k, v in shown.items())


def point(wires: Wires | None, name: str = "connectionPointIn") -> str:
    """``connectionPointIn`` with its wires; nothing at all for None."""
    if wires is None:
        return ""
    inside = "".join(
        f"<connection refLocalId={quoteattr(end)}{attributes(formalParameter=pin or None)}/>" for end, pin in wires.ends
    )
    return f"<{name}>{inside}</{name}>"


def data(word: str, inside: str, **more: object) -> str:
    """``addData`` with one ``data`` entry; ``word`` is a whole URI or the last word of one."""
    name = word if ":" in word else URI + word
    return f'<addData><data name="{name}"{attributes(handleUnknown="implementation", **more)}>{inside}</data></addData>'


def text(inside: str) -> str:
    """Formatted text: escaped, in XHTML."""
    return f'<xhtml xmlns="{XHTML}">{escape(inside)}</xhtml>'


@dataclass
class Drawing:
    """An LD, FBD or SFC body. Elements are numbered and written in the order of the calls."""

    language: str
    parts: list[str] = field(default_factory=list)
    first: int = 1
    rail_id: str = ""

    @property
    def xml(self) -> str:
        """The body."""
        return f"<body><{self.language}>{''.join(self.parts)}</{self.language}></body>"

    def add(self, kind: str, inside: str = "", at: tuple[int, int] = (0, 0), id: str = "", **given: object) -> Wires:
        """Any element; the answer is what to wire from it."""
        number = id or str(self.first + len(self.parts))
        place = f'<position x="{at[0]}" y="{at[1]}"/>'
        self.parts.append(f'<{kind} localId="{number}"{attributes(**given)}>{place}{inside}</{kind}>')
        return Wires(((number, ""),))

    @property
    def rail(self) -> Wires:
        """The left power rail, drawn at first use."""
        if not self.rail_id:
            out = '<connectionPointOut formalParameter=""/>'
            ((self.rail_id, _),) = self.add("leftPowerRail", out).ends
        return Wires(((self.rail_id, ""),))

    def contact(self, name: str, wires: Wires | None = None, **given: object) -> Wires:
        """A contact; no wires: nothing is wired to it."""
        return self.add("contact", f"{point(wires)}<connectionPointOut/><variable>{escape(name)}</variable>", **given)

    def coil(self, name: str, wires: Wires | None = None, **given: object) -> Wires:
        """A coil."""
        return self.add("coil", f"{point(wires)}<connectionPointOut/><variable>{escape(name)}</variable>", **given)

    def value(self, name: str, **given: object) -> Wires:
        """An inVariable."""
        return self.add("inVariable", f"<connectionPointOut/><expression>{escape(name)}</expression>", **given)

    def output(self, name: str, wires: Wires | None = None, **given: object) -> Wires:
        """An outVariable."""
        return self.add("outVariable", f"{point(wires)}<expression>{escape(name)}</expression>", **given)

    def both(self, name: str, wires: Wires | None = None, **given: object) -> Wires:
        """An inOutVariable."""
        inside = f"{point(wires)}<connectionPointOut/><expression>{escape(name)}</expression>"
        return self.add("inOutVariable", inside, **given)

    def block(
        self,
        type: str,
        inputs: dict[str, Wires | None] | None = None,
        outputs: str = "OUT",
        *,
        pins: dict[str, dict[str, object]] | None = None,
        more: str = "",
        **given: object,
    ) -> Wires:
        """A block; ``outputs`` is a list in words, ``pins`` has modifiers by pin name."""
        marks = pins or {}
        group = "".join(
            f"<variable{attributes(formalParameter=name, **marks.get(name, {}))}>{point(wires or NOWHERE)}</variable>"
            for name, wires in (inputs or {}).items()
        )
        out = "".join(
            f"<variable{attributes(formalParameter=name, **marks.get(name, {}))}><connectionPointOut/></variable>"
            for name in outputs.split()
        )
        inside = (
            f"<inputVariables>{group}</inputVariables><inOutVariables/><outputVariables>{out}</outputVariables>{more}"
        )
        return self.add("block", inside, typeName=type, **given)

    # --- charts ------------------------------------------------------------------------------------------------

    def step(self, name: str, wires: Wires | None = None, *, more: str = "", **given: object) -> Wires:
        """A step (``kind="macroStep"`` for a macro step)."""
        kind = str(given.pop("kind", "step"))
        return self.add(kind, f"{point(wires)}<connectionPointOut/>{more}", name=name, **given)

    def transition(self, condition: str | Wires, wires: Wires | None, *, more: str = "", **given: object) -> Wires:
        """A transition; a text that begins with ``<`` is the inside of ``condition``, other text is inline ST."""
        if isinstance(condition, Wires):
            inside = point(condition)
        elif condition.startswith("<"):
            inside = condition
        else:
            inside = f'<inline name="c"><ST>{text(condition)}</ST></inline>'
        return self.add("transition", f"{point(wires)}<condition>{inside}</condition>{more}", **given)

    def jump_to(self, target: str, wires: Wires) -> Wires:
        """A jump to a step."""
        return self.add("jumpStep", point(wires), targetName=target)

    def branching(self, kind: str, *branches: Wires) -> Wires:
        """A divergence (one input) or convergence (several)."""
        return self.add(kind, "".join(point(each) for each in branches) + "<connectionPointOut/>")

    def actions(self, step: Wires, *lines: str) -> Wires:
        """An action block; each line is an ``action`` element."""
        return self.add("actionBlock", point(step) + "".join(lines))


def action(reference: str = "", *, inside: str = "", **given: object) -> str:
    """One ``action`` of an action block."""
    named = f"<reference name={quoteattr(reference)}/>" if reference else ""
    place = '<relPosition x="0" y="0"/>'
    return f'<action localId="0"{attributes(**given)}>{place}{named}{inside}</action>'


def st(code: str) -> str:
    """A body in structured text."""
    return f"<body><ST>{text(code)}</ST></body>"


def variable(name: str, type: str, initial: str = "", **given: object) -> str:
    """A declared variable; ``type`` is an elementary type, a user type, or XML."""
    kind = type if type.startswith("<") else f"<{type}/>" if type.isupper() else f'<derived name="{type}"/>'
    start = initial if initial.startswith("<") else f"<simpleValue value={quoteattr(initial)}/>"
    value = f"<initialValue>{start}</initialValue>" if initial else ""
    return f"<variable{attributes(name=name, **given)}><type>{kind}</type>{value}</variable>"


def section(kind: str, *variables: str, **given: object) -> str:
    """``localVars`` and its kind."""
    return f"<{kind}{attributes(**given)}>{''.join(variables)}</{kind}>"


def pou(
    body: Drawing | str = "", interface: str = "", *, name: str = "Main", kind: str = "program", more: str = ""
) -> str:
    """A POU; ``more`` are actions, transitions (before the body) or, from ``<addData``, extension data after it."""
    inside = body.xml if isinstance(body, Drawing) else body
    before, after = ("", more) if more.startswith(("<addData", "<documentation")) else (more, "")
    return f'<pou name="{name}" pouType="{kind}"><interface>{interface}</interface>{before}{inside}{after}</pou>'


def project(*pous: str, types: str = "", instances: str = "", more: str = "", namespace: str = TC6) -> bytes:
    """A document."""
    held = f"<configurations>{instances}</configurations>" if instances else "<configurations/>"
    return (
        f'<project xmlns="{namespace}"><fileHeader companyName="c" productName="p" productVersion="1" '
        'creationDateTime="2026-01-01T00:00:00"/><contentHeader name="n"><coordinateInfo/></contentHeader>'
        f"<types><dataTypes>{types}</dataTypes><pous>{''.join(pous)}</pous></types>"
        f"<instances>{held}</instances>{more}</project>"
    ).encode()


def attribute_list(**values: str) -> str:
    """``sfc/element`` data: for each key (``_`` for ``-``, after the letter g) a text."""
    inside = "".join(f'<attribute guid="{k[1:].replace("_", "-")}">{v}</attribute>' for k, v in values.items())
    return data("sfc/element", f'<attributes xmlns="">{inside}</attributes>')


# --- what was read ----------------------------------------------------------------------------------------------

Source = Drawing | str | bytes


def document(source: Source) -> bytes:
    """A drawing or a POU (``<pou ...``) as a document."""
    if isinstance(source, bytes):
        return source
    return project(pou(source) if isinstance(source, Drawing) or not source.startswith("<pou") else source)


def copy_of(source: Source) -> Copy:
    """The copy read from it."""
    return read(document(source), "case.xml")


def first_pou(source: Source) -> Pou:
    """The first POU."""
    return copy_of(source).program.pous[0]


def first_body(source: Source) -> Body:
    """The first body of the first POU."""
    return first_pou(source).bodies[0]


def statements(source: Source) -> str:
    """Statements of the first body in order of execution, one a line."""
    body = first_body(source)
    places = body.order.sequence or [
        (n, s) for n, each in enumerate(body.networks) for s in range(len(each.statements))
    ]
    found = [body.networks[n].statements[s] for n, s in places] if body.networks else list(body.statements)
    text = statement_printer.statements(found).rstrip("\n")
    return re.sub(r'\{wire "\d+" "([^"]+)"\}', r"\1", text)


def chart(source: Source) -> str:
    """The chart of the first body as text, without its head."""
    lines = printer.body(first_body(source)).splitlines()
    return "\n".join(line for line in lines if line not in ("{body SFC}", "{chart}"))


def leftovers(source: Source) -> list[str]:
    """What is drawn without effect, in words."""
    body = first_body(source)
    return [text for network in body.networks for text in network.leftovers] + list(
        body.chart.leftovers if body.chart else ()
    )


def normal(source: Source) -> str:
    """The whole normal form as one text."""
    return "\n".join(f"== {name}\n{text}" for name, text in normal_form(copy_of(source)).items())


def same(old: Source, new: Source) -> bool:
    """Do both have one normal form?"""
    return normal_sha256(copy_of(old)) == normal_sha256(copy_of(new))


# --- drawings used by several tests -------------------------------------------------------------------------------


def rung(**coil: object) -> Drawing:
    """``A`` in front of coil ``Q``."""
    d = Drawing("LD")
    d.coil("Q", d.contact("A", d.rail), **coil)
    return d


def alternatives(first: str, second: str, kind: str = "selectionDivergence") -> Drawing:
    """Step ``S`` and two alternatives, to ``Up`` and ``Down``."""
    d = Drawing("SFC")
    s = d.step("S", initialStep=True)
    split = d.branching(kind, s)
    for condition, target in ((first, "Up"), (second, "Down")):
        d.step(target, d.transition(condition, split))
    return d
