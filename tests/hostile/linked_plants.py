"""A small plant in AutomationML whose controller links to its logic, as a file and as a package."""

from __future__ import annotations

import io
import zipfile
from xml.sax.saxutils import escape, quoteattr

LOGIC = "AutomationMLInterfaceClassLib/AutomationMLBaseInterface/ExternalDataConnector/PLCopenXMLInterface"
ROOT = "http://schemas.automationml.org/container/relationship/RootDocument"
RELATIONS = "http://schemas.openxmlformats.org/package/2006/relationships"
TYPES = b'<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>'

RUNG = """<?xml version="1.0" encoding="utf-8"?><project xmlns="http://www.plcopen.org/xml/tc6_0201">
<fileHeader companyName="c" productName="p" productVersion="1" creationDateTime="2026-01-01T00:00:00"/>
<contentHeader name="n"><coordinateInfo/></contentHeader><types><dataTypes/><pous>
<pou name="Main" pouType="program"><interface><localVars>
<variable name="Start"><type><BOOL/></type></variable><variable name="Stop"><type><BOOL/></type></variable>
<variable name="Motor"><type><BOOL/></type></variable></localVars></interface><body><LD>
<leftPowerRail localId="1"><position x="0" y="0"/><connectionPointOut/></leftPowerRail>
<contact localId="2"><position x="5" y="0"/><connectionPointIn><connection refLocalId="1"/></connectionPointIn>
<connectionPointOut/><variable>Start</variable></contact>
<contact localId="3" negated="true"><position x="9" y="0"/><connectionPointIn><connection refLocalId="2"/>
</connectionPointIn><connectionPointOut/><variable>Stop</variable></contact>
<coil localId="4"><position x="15" y="0"/><connectionPointIn><connection refLocalId="WIRE"/></connectionPointIn>
<connectionPointOut/><variable>Motor</variable></coil></LD></body></pou></pous></types>
<instances><configurations/></instances></project>"""


def hardware(*uris: str, kind: str = LOGIC, caex3: bool = False) -> bytes:
    """One controller with an interface for each link."""
    ends = "".join(
        f'<ExternalInterface Name="Logic {n}" ID="id-{n}" RefBaseClassPath={quoteattr(kind)}><Attribute Name="refURI" '
        f'AttributeDataType="xs:anyURI"><Value>{escape(uri)}</Value></Attribute></ExternalInterface>'
        for n, uri in enumerate(uris)
    )
    lib = "AutomationProjectConfigurationRoleClassLib"
    roles = {r: f'<SupportedRoleClass RefRoleClassPath="{lib}/{r}"/>' for r in ("Device", "DeviceItem")}
    inside = f'<InternalElement Name="CPU 1">{ends}{roles["DeviceItem"]}</InternalElement>{roles["Device"]}'
    head = 'SchemaVersion="3.0" xmlns="http://www.dke.de/CAEX"' if caex3 else 'SchemaVersion="2.15"'
    return (
        f'<?xml version="1.0" encoding="utf-8"?><CAEXFile {head} FileName="plant.aml"><InstanceHierarchy Name="H">'
        f'<InternalElement Name="mixer-1">{inside}</InternalElement></InstanceHierarchy></CAEXFile>'
    ).encode()


def logic(*, stop: bool = True) -> bytes:
    """One rung in the format of TC6; without ``stop`` the motor runs on."""
    return RUNG.replace("WIRE", "3" if stop else "2").encode()


def package(parts: dict[str, bytes], root: str = "plant.aml") -> bytes:
    """A container with these parts whose root document is named."""
    relations = (
        f'<Relationships xmlns="{RELATIONS}"><Relationship Id="R" Type="{ROOT}" Target="/{root}"/></Relationships>'
    )
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as container:
        for name, data in {"[Content_Types].xml": TYPES, "_rels/.rels": relations.encode(), **parts}.items():
            container.writestr(zipfile.ZipInfo(name), data, zipfile.ZIP_DEFLATED)
    return stream.getvalue()
