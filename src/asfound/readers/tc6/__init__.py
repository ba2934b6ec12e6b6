"""TC6 XML, the exchange format of IEC 61131-3 programs: versions 2.0 and 2.01.

The reader eats the document (see readers.xml): project.py reads the frame, pous.py and interface.py the declarations,
bodies.py the five languages, diagram.py what an LD or FBD drawing shows and chart.py what a chart shows; how either
becomes logic is in readers.drawing.
"""

from __future__ import annotations

from asfound.model.copy import Copy
from asfound.model.problem import Problem
from asfound.model.program import Program
from asfound.readers.registry import Probe, Reader
from asfound.readers.tc6.noise import NOISE
from asfound.readers.xml import parse

NAMESPACES = {
    "http://www.plcopen.org/xml/tc6_0200": "2.0",
    "http://www.plcopen.org/xml/tc6_0201": "2.01",
}


def recognise(probe: Probe) -> bool:
    """A ``project`` document in one of the known namespaces."""
    return probe.root is not None and probe.root[0] in NAMESPACES and probe.root[1] == "project"


def read(data: bytes, name: str) -> Copy:
    """The program in one TC6 document."""
    from asfound.readers.tc6.project import program

    root = parse(data, name)
    try:
        found = program(root)
    except RecursionError:
        raise Problem(
            "holds a diagram with more than a few hundred elements in one chain",
            where=name,
            advice="store it as it is in a folder with readable exports and report the file",
        ) from None
    return Copy(program=found, limits=_limits(found, name))


def _limits(found: Program, name: str) -> tuple[str, ...]:
    """What this export cannot show, in sentences."""
    limits = []
    if not found.resources:
        limits.append(f"{name} holds no tasks and no configuration: what runs when is not known from it")
    floating = sorted(
        library.name for library in found.libraries if library.name and ("*" in library.version or not library.version)
    )
    if floating:
        limits.append(f"{name} links libraries in whatever version is newest: {', '.join(floating)}")
    if any(v.address.endswith("*") for p in found.pous for v in p.variables):
        limits.append(f"{name} leaves addresses open (%I*, %Q*): they are bound outside this export")
    return tuple(limits)


READER = Reader(
    name="tc6",
    title="TC6 XML 2.0, 2.01",
    standard="IEC 61131-3 exchange, XML schema versions 2.0 and 2.01",
    suffixes=(".xml",),
    holds="programs in all five languages, types, globals, tasks",
    recognise=recognise,
    read=read,
    noise=NOISE,
)
