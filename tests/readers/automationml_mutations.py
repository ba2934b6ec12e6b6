"""Every change of one node of an AutomationML file, and the same project in the newer version of its format."""

from __future__ import annotations

import copy
import re
from collections.abc import Callable, Iterator

from lxml import etree
from mutations import Mutation

from asfound.readers.automationml import READER
from asfound.readers.noise_paths import is_noise

CAEX3 = "http://www.dke.de/CAEX"


def step(node: etree._Element) -> str:
    name = etree.QName(node).localname
    return f"Attribute[{node.get('Name')}]" if name == "Attribute" else name


def other(value: str) -> str:
    word = value.strip()
    if word in ("true", "false"):
        return "false" if word == "true" else "true"
    return str(int(word) + 1) if word.isdecimal() else f"{word}x"


def mutations(data: bytes) -> Iterator[Mutation]:
    """Every attribute changed and removed, every text changed, every element removed."""
    root = etree.fromstring(data)
    for at, node in enumerate(root.iter("*")):
        above = [step(e) for e in reversed(list(node.iterancestors()))]
        path = "/".join([*above, step(node)])

        def edit(change: Callable[[etree._Element], object], at: int = at) -> Callable[[], bytes]:
            def apply() -> bytes:
                fresh = copy.deepcopy(root)
                change(list(fresh.iter("*"))[at])
                return etree.tostring(fresh)

            return apply

        def mutation(what: str, where: str, change: Callable[[etree._Element], object]) -> Mutation:
            noise = is_noise(READER, where)
            return Mutation(what, where, noise, edit(change), still=noise and not where.endswith(("/@ID", "removed()")))

        for name, value in node.attrib.items():
            where = f"{path}/@{etree.QName(name).localname}"
            new = other(str(value))
            yield mutation("changed", where, lambda n, k=name, v=new: n.set(k, v))
            if not is_noise(READER, f"{where}={value}"):
                yield mutation("removed", where, lambda n, k=name: n.attrib.pop(k))
        if node.text and node.text.strip():
            yield mutation("changed", f"{path}/text()", lambda n: setattr(n, "text", other(n.text)))
        if at and not silent(node, path):
            yield mutation("removed", f"{path}/removed()", lambda n: n.getparent().remove(n))


def silent(node: etree._Element, path: str) -> bool:
    """Whether all that an element holds is declared noise, so that removing it says nothing."""
    values = [f"{path}/@{etree.QName(k).localname}={v}" for k, v in node.attrib.items()]
    told = [f"{path}/@{etree.QName(k).localname}" for k in node.attrib]
    if (node.text or "").strip() and not is_noise(READER, f"{path}/text()"):
        return False
    if not all(is_noise(READER, v) or is_noise(READER, t) for v, t in zip(values, told, strict=True)):
        return False
    if not (len(node) or node.attrib or (node.text or "").strip()):
        return is_noise(READER, f"{path}/empty()")
    return all(silent(child, f"{path}/{step(child)}") for child in node)


def as_caex3(data: bytes) -> bytes:
    """The same project as a CAEX 3.0 document: namespace, origin of the document, interfaces linked by their ids."""
    text = data.decode()
    text = re.sub(r"<AdditionalInformation>.*?</AdditionalInformation>", "", text, flags=re.S)
    text = text.replace("<CAEXFile ", f'<CAEXFile xmlns="{CAEX3}" ').replace('"2.15"', '"3.0"')
    origin = (
        '<SourceDocumentInformation OriginName="Sample Writer" OriginID="sample" OriginVersion="1.4" '
        'OriginProjectTitle="Lake intake" OriginProjectID="7" LastWritingDateTime="2025-03-04T05:06:07"/>'
    )
    text = text.replace(
        "<InstanceHierarchy ",
        f"<SuperiorStandardVersion>AutomationML 2.10</SuperiorStandardVersion>{origin}<InstanceHierarchy ",
    )
    text = text.replace("{0a000000-0000-4000-8000-000000000011}:DI_0", "0A000000-0000-4000-8000-000000000012")
    text = text.replace("{0a000000-0000-4000-8000-000000000030}:P1_Start", "0a000000-0000-4000-8000-000000000031")
    return text.encode()
