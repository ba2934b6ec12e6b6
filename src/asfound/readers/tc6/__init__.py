"""TC6 XML, the exchange format of IEC 61131-3 programs: versions 1.01, 2.0 and 2.01.

The reader consumes the document (see readers.xml): project.py reads the frame, pous.py and interface.py the
declarations, bodies.py the five languages, diagram.py what an LD or FBD drawing shows and chart.py what a chart shows;
how either becomes logic is in readers.drawing.
"""

from __future__ import annotations

from asfound.model.copy import Copy
from asfound.readers.exchange import packing
from asfound.readers.reader import Probe, Reader
from asfound.readers.tc6.noise import NOISE

NAMESPACES = {
    "http://www.plcopen.org/xml/tc6.xsd": "1.01",
    "http://www.plcopen.org/xml/tc6_0200": "2.0",
    "http://www.plcopen.org/xml/tc6_0201": "2.01",
}

PACKED = ("{*}pou",)
"""What is packed in a large document."""


def recognise(probe: Probe) -> bool:
    """A ``project`` document in one of the known namespaces."""
    return probe.root is not None and probe.root[0] in NAMESPACES and probe.root[1] == "project"


def read(data: bytes, name: str) -> Copy:
    """The program in one TC6 document."""
    from asfound.readers.tc6.project import program

    return packing.read(data, name, program, PACKED)


READER = Reader(
    name="tc6",
    title="TC6 XML 1.01, 2.0, 2.01",
    standard="IEC 61131-3 exchange, XML schema versions 1.01, 2.0 and 2.01",
    suffixes=(".xml",),
    holds="programs in all five languages, types, globals, tasks",
    recognise=recognise,
    read=read,
    noise=NOISE,
)
