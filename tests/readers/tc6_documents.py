"""Small TC6 documents, put together from pieces of XML, and what two of them compare to."""

from __future__ import annotations

import asfound
from asfound.model.copy import Copy
from asfound.model.program import Pou, Program, VariableDeclaration

NAMESPACE = "http://www.plcopen.org/xml/tc6_0201"
DATA = "http://example.org/plcopenxml/"


def document(pous: str = "", types: str = "", configuration: str = "", data: str = "", header: str = "") -> bytes:
    """A project with these pieces; ``data`` stands in the extension data of the project."""
    added = f"<addData>{data}</addData>" if data else ""
    configurations = f'<configuration name="Config">{configuration}</configuration>' if configuration else ""
    return (
        f'<project xmlns="{NAMESPACE}" xmlns:x="http://www.w3.org/1999/xhtml"><contentHeader name="P">{header}'
        f"</contentHeader><types><dataTypes>{types}</dataTypes><pous>{pous}</pous></types><instances><configurations>"
        f"{configurations}</configurations></instances>{added}</project>"
    ).encode()


def copy(**pieces: str) -> Copy:
    return asfound.read(document(**pieces), "p.xml")


def program(**pieces: str) -> Program:
    return copy(**pieces).program


def data(name: str, content: str) -> str:
    """An entry of extension data, with the ``addData`` around it left to the caller."""
    return f'<data name="{DATA}{name}" handleUnknown="implementation">{content}</data>'


def added(name: str, content: str) -> str:
    return f"<addData>{data(name, content)}</addData>"


def text(code: str) -> str:
    return f"<body><ST><x:p>{code}</x:p></ST></body>"


def pou(interface: str = "", body: str = "", name: str = "Main", kind: str = "program") -> str:
    return f'<pou name="{name}" pouType="{kind}"><interface>{interface}</interface>{body or text("")}</pou>'


def variable(name: str = "a", type: str = "<INT/>", inside: str = "", address: str = "") -> str:
    at = f' address="{address}"' if address else ""
    return f'<variable name="{name}"{at}><type>{type}</type>{inside}</variable>'


def start(value: str) -> str:
    return f"<initialValue>{value}</initialValue>"


def simple(value: str) -> str:
    return f'<simpleValue value="{value}"/>'


def documented(words: str) -> str:
    return f"<documentation><x:p>{words}</x:p></documentation>"


def only_pou(**pieces: str) -> Pou:
    (found,) = program(**pieces).pous
    assert found.extensions == ()
    return found


def declared(interface: str, kind: str = "program") -> tuple[VariableDeclaration, ...]:
    """The variables of one POU with this interface; nothing of it may be left over."""
    found = only_pou(pous=pou(interface, kind=kind)).variables
    assert [v.extensions for v in found] == [()] * len(found)
    return found


def verdict(old: dict[str, str], new: dict[str, str]) -> str:
    """What the comparison of two documents comes to."""
    return asfound.compare(copy(**old), copy(**new)).verdict


def of_interfaces(old: str, new: str, kind: str = "program") -> str:
    """The verdict where only the interface of a POU differs."""
    return verdict({"pous": pou(old, kind=kind)}, {"pous": pou(new, kind=kind)})


def parameters(*blocks: tuple[str, str]) -> str:
    """Lists of an interface, one variable per letter."""
    return "".join(f"<{word}>{''.join(map(variable, names))}</{word}>" for word, names in blocks)
