"""AutomationML (IEC 62714 on CAEX, IEC 62424): the hardware configuration of a project, its tag tables and its logic.

The tree is consumed: links are resolved and ids forgotten first, then every element is taken by its role, and what is
left on the residue becomes settings or extensions. Order among elements says nothing in CAEX; everything is sorted.
"""

from __future__ import annotations

import msgspec

from asfound.model.copy import Copy, Finding
from asfound.model.hardware import Hardware
from asfound.model.program import Extension, Setting
from asfound.readers import xml
from asfound.readers.automationml.attributes import LISTS, unseen
from asfound.readers.automationml.hierarchy import Tree
from asfound.readers.automationml.links import resolve
from asfound.readers.automationml.named_references import Names, forget_ids
from asfound.readers.automationml.package import ROOT, is_package, open_document
from asfound.readers.automationml.plugged_modules import in_order
from asfound.readers.merging import with_parts
from asfound.readers.noise_paths import filter_of
from asfound.readers.reader import Noise, Probe, Reader
from asfound.readers.xml import Element

NAMESPACES = ("", "http://www.dke.de/CAEX")
"""CAEX 2.15 has none, CAEX 3.0 has this one."""
WRITER = (
    "WriterName", "WriterID", "WriterVendor", "WriterVendorURL", "WriterVersion", "WriterRelease",
    "LastWritingDateTime", "WriterProjectID",
)  # fmt: skip
ORIGIN = (
    "OriginName", "OriginID", "OriginVendor", "OriginVendorURL", "OriginVersion", "OriginRelease",
    "LastWritingDateTime", "OriginProjectID",
)  # fmt: skip

NOISE = (
    Noise("CAEXFile/@FileName", "the file's own name, which its user may change"),
    Noise("CAEXFile/@schemaLocation", "where a schema was found on the writer's computer"),
    Noise("CAEXFile/@noNamespaceSchemaLocation", "where a schema was found on the writer's computer"),
    *(Noise(f"CAEXFile/AdditionalInformation/WriterHeader/{n}/**", "who wrote the file, and when") for n in WRITER),
    *(Noise(f"CAEXFile/SourceDocumentInformation/@{n}", "who wrote the file, and when") for n in ORIGIN),
    Noise("**/@ID", "object ids may be made anew; references are resolved to names before they are forgotten"),
    Noise("**/InternalLink/@Name", "name of a link, numbered by the writer and shown to nobody"),
    Noise("**/InternalLink/order()", "a link has no direction, and it does not matter where in the tree it is written"),
    Noise("**/order()", "order of elements: the slot is PositionNumber, all else has a name"),
    Noise("**/@AttributeDataType", "how the value is spelled in XML; the value itself is compared"),
    Noise("**/@RefAttributeType", "the library entry that describes an attribute; its name is compared"),
    *(
        Noise(f"**/RefSemantic/@CorrespondingAttributePath={kind}", "the numbered children show that it is a list")
        for kind in LISTS
    ),
    Noise(
        "**/Attribute[refURI]/id()", "id of a linked object, which may be made anew; where it has a name, that counts"
    ),
    Noise("**/Attribute[BuiltIn]/removed()", "built in: absent means false, as the text false does; true is compared"),
    Noise("**/Value/empty()", "an empty value and no value are the same"),
    Noise("**/library()", "the part of a role or class path before the last step: where the library is"),
    Noise("**/padding()", "blanks at both ends of a text"),
    Noise("package/packing()", "order, time stamps and compression of the parts of an .amlx, and its list of parts"),
    Noise("package/*.rels/Relationship/@Id", "id of a relation between parts, made anew; its type and target count"),
)


def recognise(probe: Probe) -> bool:
    """A CAEX document, or a container with one inside."""
    if is_package(probe.data, probe.suffix):
        return True
    return probe.root is not None and probe.root[1] == ROOT and probe.root[0] in NAMESPACES


def read(data: bytes, name: str) -> Copy:
    """Devices, networks, tag tables, and all that the parts of a package hold.

    Raises Problem for a damaged file or one that is not CAEX.
    """
    document = open_document(data, name)
    root = xml.parse(document.data, name)
    names = Names(root)
    links = resolve(root, names, name)
    forget_ids(root, names)
    tree = Tree(name, names, links)
    tree.settings += links.settings
    tree.extensions += (*document.extensions, *links.extensions)
    tree.findings += [*_twice(names, name), *links.findings]
    _header(root, tree.settings, tree.extensions)
    for hierarchy in xml.take_all(root, "InstanceHierarchy"):
        tree.hierarchy(hierarchy)
    noise = filter_of((entry.path for entry in NOISE), "CAEXFile/")
    tree.extensions += xml.leftovers(root, noise)
    return with_parts(_copy(tree), document.parts)


def _twice(names: Names, where: str) -> list[Finding]:
    return [
        Finding("warning", where, f"the element '{path}' has the id of another one; links to it go to the first")
        for path in names.twice
    ]


def _header(root: Element, settings: list[Setting], extensions: list[Extension]) -> None:
    """Version of the format, project name, and the data of the writer, which are noise."""
    settings.append(Setting("SchemaVersion", xml.attribute(root, "SchemaVersion")))
    for information in xml.children(root, "AdditionalInformation"):
        headers = xml.take_all(information, "WriterHeader")
        for header in headers:
            for element in xml.take_all(header, "WriterProjectTitle"):
                settings.append(Setting("ProjectTitle", xml.text_of(element).strip()))
                extensions += unseen(element, "WriterProjectTitle")
            xml.take_all(header, *WRITER)
            extensions += unseen(header, "WriterHeader")
        if headers and xml.is_empty(information):
            xml.cut(information)
    for information in xml.take_all(root, "SourceDocumentInformation"):
        title = xml.attribute(information, "OriginProjectTitle")
        if title:
            settings.append(Setting("ProjectTitle", title))
        for attribute in ORIGIN:
            xml.attribute(information, attribute)
        extensions += unseen(information, "SourceDocumentInformation")


def _copy(tree: Tree) -> Copy:
    devices = sorted(tree.devices, key=lambda d: (d.name.lower(), msgspec.json.encode(d)))
    subnets = sorted(tree.subnets, key=lambda s: (s.name.lower(), msgspec.json.encode(s)))
    tables = sorted(tree.tables, key=lambda t: (t.name.lower(), msgspec.json.encode(t)))
    extensions = sorted(tree.extensions, key=lambda e: (e.path, e.name, e.text))
    hardware = Hardware(tuple(devices), tuple(subnets), in_order(tree.settings), tuple(extensions))
    findings = sorted(tree.told(), key=lambda f: (f.where, f.text))
    return Copy(hardware=hardware, tables=tuple(tables), findings=tuple(findings))


READER = Reader(
    name="automationml",
    title="AutomationML hardware configuration (.aml, .amlx)",
    standard="IEC 62714 on CAEX 2.15 and 3.0 (IEC 62424), with the links of part 4; "
    "recommendation Automation Project Configuration 1.0 to 1.4",
    suffixes=(".aml", ".amlx"),
    holds="devices, racks, modules, channels, networks and tag tables; logic that is packed with them or linked",
    recognise=recognise,
    read=read,
    noise=NOISE,
)
