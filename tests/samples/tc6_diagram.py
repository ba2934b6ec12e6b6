"""Write placed shapes as TC6 elements."""

from __future__ import annotations

from lxml import etree

from samples.chart_drawing import Tie
from samples.shapes import Pin, Point, Shape
from samples.style import Style

XHTML = "http://www.w3.org/1999/xhtml"
Element = etree._Element


def child(parent: Element, element: str, /, **attributes: str) -> Element:
    """A child in the namespace of its parent."""
    tag = f"{{{etree.QName(parent).namespace}}}{element}"
    return etree.SubElement(parent, tag, dict(attributes))


def formatted(parent: Element, name: str, text: str, style: Style) -> Element:
    """Text inside an XHTML element: CDATA in a paragraph (editor) or plain in a block (upload)."""
    holder = child(parent, name)
    block = etree.SubElement(holder, f"{{{XHTML}}}{'p' if style.comments else 'xhtml'}")
    block.text = etree.CDATA(text) if style.comments else text
    return holder


class Diagram:
    """Writes the shapes of one body. ``pou`` is the place of the POU in the file, for its ids."""

    def __init__(self, body: Element, shapes: tuple[Shape, ...], style: Style, pou: int) -> None:
        self.body, self.style, self.pou = body, style, pou
        self.total = max((shape.number for shape in shapes), default=0)
        for shape in shapes:
            if shape.kind != "comment" or style.comments:
                self._shape(shape)

    def _id(self, number: int) -> str:
        return str(self.style.number(number, self.total, self.pou))

    def _point(self, parent: Element, name: str, at: Point, relative: bool = False) -> None:
        if self.style.wires or not relative:
            scale, offset = self.style.scale
            x, y = (value * scale + (0 if relative else offset) for value in at)
            child(parent, name, x=str(x), y=str(y))

    def _shape(self, shape: Shape) -> None:
        element = child(self.body, shape.kind, localId=self._id(shape.number))
        if self.style.wires:
            element.attrib.update({"height": str(shape.size[1]), "width": str(shape.size[0])})
        self._point(element, "position", shape.at)
        {
            "comment": self._comment,
            "block": self._block,
            "inVariable": self._operand,
            "outVariable": self._operand,
            "contact": self._switch,
            "coil": self._switch,
            "step": self._step,
            "transition": self._transition,
            "jumpStep": self._jump,
            "actionBlock": self._actions,
        }.get(shape.kind, self._plain)(element, shape)

    def _modifiers(self, element: Element, shape: Shape) -> None:
        """``negated``, ``storage``, ``edge``: only when set (editor), or always (upload)."""
        explicit = self.style.explicit
        if shape.negated or explicit:
            element.set("negated", "true" if shape.negated else "false")
        if shape.storage or explicit:
            element.set("storage", shape.storage or "none")
        if shape.edge or explicit:
            element.set("edge", shape.edge or "none")

    def _comment(self, element: Element, shape: Shape) -> None:
        formatted(element, "content", shape.text, self.style)

    def _input(self, parent: Element, pin: Pin) -> None:
        point = child(parent, "connectionPointIn")
        self._point(point, "relPosition", pin.at, relative=True)
        for wire in pin.wires:
            link = child(point, "connection", refLocalId=self._id(wire.source.shape))
            if wire.source.pin and wire.source.pin != "action":
                link.set("formalParameter", wire.source.pin)
            for at in wire.path if self.style.wires else ():
                self._point(link, "position", at)

    def _output(self, parent: Element, pin: Pin, element: str = "connectionPointOut", **attributes: str) -> None:
        point = child(parent, element, **attributes)
        self._point(point, "relPosition", pin.at, relative=True)

    def _plain(self, element: Element, shape: Shape) -> None:
        for pin in shape.inputs:
            self._input(element, pin)
        named = {"formalParameter": ""} if shape.kind in ("leftPowerRail", "selectionDivergence") else {}
        for pin in shape.outputs:
            self._output(element, pin, **named)

    def _operand(self, element: Element, shape: Shape) -> None:
        if self.style.explicit:
            element.attrib.update({"executionOrderId": "0", "negated": "false"})
        self._plain(element, shape)
        child(element, "expression").text = shape.text

    def _switch(self, element: Element, shape: Shape) -> None:
        self._modifiers(element, shape)
        self._plain(element, shape)
        child(element, "variable").text = shape.text

    def _block(self, element: Element, shape: Shape) -> None:
        element.set("typeName", shape.text)
        if shape.instance:
            element.set("instanceName", shape.instance)
        if self.style.explicit:
            element.set("executionOrderId", "0")
        inputs = child(element, "inputVariables")
        for pin in shape.inputs:
            variable = child(inputs, "variable", formalParameter=pin.name)
            if pin.negated:
                variable.set("negated", "true")
            self._input(variable, pin)
        child(element, "inOutVariables")
        outputs = child(element, "outputVariables")
        for pin in shape.outputs:
            self._output(child(outputs, "variable", formalParameter=pin.name), pin)

    def _step(self, element: Element, shape: Shape) -> None:
        element.set("name", shape.text)
        if shape.instance or self.style.explicit:
            element.set("initialStep", "true" if shape.instance else "false")
        for pin in shape.inputs:
            self._input(element, pin)
        self._output(element, shape.outputs[0], formalParameter="")
        side = Pin((shape.size[0], shape.size[1] // 2))
        self._output(element, side, "connectionPointOutAction", formalParameter="")

    def _transition(self, element: Element, shape: Shape) -> None:
        self._plain(element, shape)
        condition = child(element, "condition")
        if shape.instance:
            child(condition, "reference", name=shape.text)
        else:
            formatted(child(condition, "inline", name=""), "ST", shape.text, self.style)

    def _jump(self, element: Element, shape: Shape) -> None:
        element.set("targetName", shape.text)
        for pin in shape.inputs:
            self._input(element, pin)

    def _actions(self, element: Element, shape: Shape) -> None:
        for pin in shape.inputs:
            self._input(element, pin)
        for place, tie in enumerate(shape.ties if isinstance(shape, Tie) else ()):
            action = child(element, "action", localId="0")
            if tie.qualifier != "N" or self.style.explicit:
                action.set("qualifier", tie.qualifier)
            if tie.duration or self.style.explicit:
                action.set("duration", tie.duration)
            child(action, "relPosition", x="0", y=str(30 * place))
            if tie.inline:
                formatted(child(action, "inline"), "ST", self.style.text(tie.inline), self.style)
            else:
                child(action, "reference", name=tie.name)
