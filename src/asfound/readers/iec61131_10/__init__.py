"""IEC 61131-10:2019, the exchange format of the standard itself.

The reader consumes the document (see readers.xml): project.py reads the frame, pous.py, declarations.py, types.py the
declarations, bodies.py the five languages, diagram.py what an LD or FBD drawing shows and chart.py what a
chart shows; how either becomes logic is in readers.drawing. Written from public files and by comparison with the older
format; where a document goes beyond what is known here, the unknown part is kept as an extension and compared.
"""

from __future__ import annotations

from asfound.model.copy import Copy
from asfound.readers.exchange import packing
from asfound.readers.iec61131_10.noise import NOISE
from asfound.readers.reader import Probe, Reader

NAMESPACE = "www.iec.ch/public/TC65SC65BWG7TF10"
ROOTS = ("Project", "Program", "FunctionBlock", "Function", "Class", "Interface", "DataTypeDecl", "NamespaceDecl")

PACKED = tuple(f"{{*}}{name}" for name in ROOTS[1:6])
"""What is packed in a large document: POUs, not the namespaces around them."""


def recognise(probe: Probe) -> bool:
    """A ``Project``, or a single declaration, in the namespace of the standard (with or without ``http://``)."""
    return (
        probe.root is not None
        and probe.root[0].removeprefix("http://").rstrip("/") == NAMESPACE
        and probe.root[1] in ROOTS
    )


def read(data: bytes, name: str) -> Copy:
    """The program in one document."""
    from asfound.readers.iec61131_10.project import program

    return packing.read(data, name, program, PACKED)


READER = Reader(
    name="iec-61131-10",
    title="IEC 61131-10 XML",
    standard="IEC 61131-10:2019",
    suffixes=(".xml",),
    holds="programs in all five languages, classes, namespaces, types, globals, tasks",
    recognise=recognise,
    read=read,
    noise=NOISE,
)
