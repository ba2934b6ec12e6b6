"""Tag tables inside a hardware export: every tag is an interface, a structured tag an element with interfaces."""

from __future__ import annotations

from asfound.model.copy import Finding
from asfound.model.program import Extension, Setting
from asfound.model.tags import Tag, TagTable
from asfound.readers import xml
from asfound.readers.automationml.attributes import Values, unseen
from asfound.readers.automationml.links import Resolved
from asfound.readers.automationml.plugged_modules import Part, apart, comment_of
from asfound.readers.automationml.roles import last
from asfound.readers.tables.repeats import repeated
from asfound.readers.tables.tag_table import address_of, order
from asfound.readers.xml import Element


class TableParts:
    """Collects one table: its tags, what it says beside them, and findings."""

    def __init__(self, where: str, links: Resolved, findings: list[Finding]) -> None:
        self.where, self.links, self.findings = where, links, findings
        self.tags: list[Tag] = []
        self.extensions: list[Extension] = []

    def take(self, element: Element, prefix: str) -> None:
        """Take the tags that are direct interfaces of an element."""
        for interface in xml.take_all(element, "ExternalInterface"):
            kind, name = last(xml.attribute(interface, "RefBaseClassPath")), xml.attribute(interface, "Name")
            values = Values(interface)
            path = f"ExternalInterface[{prefix}{name}]"
            more = () if kind == "Tag" else (Setting("@Interface", kind),)
            self.tags.append(self._tag(f"{prefix}{name}", values, more))
            self.extensions += (Extension(f"{path}/{e.path}", e.text, e.name) for e in values.extensions)
            self.extensions += unseen(interface, path)

    def _tag(self, name: str, values: Values, more: tuple[Setting, ...]) -> Tag:
        where = f"{self.where}, tag '{name}'"
        if not name:
            self.findings.append(Finding("warning", self.where, "a tag has no name; it is kept"))
        address = address_of(values.text("LogicalAddress"), where, self.findings)
        kind, comment = values.text("DataType").upper(), comment_of(values)
        settings = sorted([*values.settings(), *more], key=lambda s: (s.name, s.value))
        return Tag(name, address, kind, comment, tuple(settings))

    def take_complex(self, element: Element) -> None:
        """Take a structured tag: itself, and its members as ``Structure.Member``."""
        name = str(element.get("Name", ""))
        self.take(element, f"{name}.")
        part = apart(element, self.links)
        more = () if part.role == "ComplexTag" else (Setting("@role", part.role),)
        self.tags.append(self._tag(name, part.values, (*part.settings, *more)))
        self.extensions += (Extension(f"{name}/{e.path}", e.text, e.name) for e in part.extensions)
        for member in part.members:
            member.set("Name", f"{name}.{member.get('Name', '')}")
            self.take_complex(member)


def tag_table(element: Element, where: str, links: Resolved, findings: list[Finding]) -> tuple[TagTable, Part]:
    """A table and what is left of its element: settings and extensions that the table has no place for."""
    title = str(element.get("Name", ""))
    parts = TableParts(f"{where}, table '{title}'", links, findings)
    parts.take(element, "")
    part = apart(element, links)
    for member in part.members:
        parts.take_complex(member)
    place = parts.where
    findings += repeated((tag.name, f"{place}, tag '{tag.name}'") for tag in parts.tags)
    table = TagTable(part.name, tuple(sorted(parts.tags, key=order)))
    return table, part._replace(extensions=part.all_extensions(parts.extensions))
