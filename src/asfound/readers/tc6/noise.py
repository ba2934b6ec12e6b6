"""The noise table of the TC6 reader: what is dropped, and why that is safe.

Paths are written as in :mod:`asfound.readers.noise`; an extension element ``data`` carries the last word of its own
name, ``data[objectid]``. What is not listed here and not understood is kept as an extension and compared.
"""

from __future__ import annotations

from asfound.readers.registry import Noise

_WIRED = "wires are resolved to what they connect; the number itself says nothing"
_DRAWN = "drawing only; where place decides the order of execution, the order itself is compared"
_PINS = "the pins of a block follow from its type; the wires name those that are used, with their modifiers"
_BRANCH = "running name of a branching; the transitions are compared, with their order"
_IDENTITY = "technical identity of an object; things are matched by name and content"

NOISE = (
    Noise("**/fileHeader/@creationDateTime", "time of the export"),
    Noise("**/contentHeader/@modificationDateTime", "time of the last edit or of the export"),
    Noise("**/contentHeader/coordinateInfo/**", "scale of drawings"),
    Noise("**/project/@schemaLocation", "where an XML validator finds the schema"),
    Noise("**/@localId", _WIRED),
    Noise("**/@globalId", _IDENTITY),
    Noise("**/data[objectid]/**", _IDENTITY),
    Noise("**/Object/@ObjectId", _IDENTITY),
    Noise("**/@handleUnknown", "advice to an importer about data it does not know; the data itself is compared"),
    Noise("**/@height", "size of a drawing"),
    Noise("**/@width", "size of a drawing"),
    Noise("**/position/**", _DRAWN),
    Noise("**/relPosition/**", _DRAWN),
    Noise("**/rightPowerRail/**", "the right power rail has no effect (IEC 61131-3 lets it be left out)"),
    Noise("**/leftPowerRail/connectionPointOut/**", "how many pins a rail is drawn with; every one is simply TRUE"),
    Noise("**/block/outputVariables/variable/@formalParameter", _PINS),
    Noise("**/block/outputVariables/variable/connectionPointOut/**", _PINS),
    Noise("**/block/outputVariables/variable", _PINS),
    Noise("**/connectionPointOut/@formalParameter", _PINS),
    Noise("**/connectionPointOut", _PINS),
    Noise("**/connectionPointOutAction/**", "pin for an action block, which itself names its step"),
    Noise("**/selectionDivergence/@name", _BRANCH),
    Noise("**/selectionConvergence/@name", _BRANCH),
    Noise("**/simultaneousDivergence/@name", _BRANCH),
    Noise("**/simultaneousConvergence/@name", _BRANCH),
    Noise("**/transition/@executionOrderId", "a chart runs along its links"),
    Noise("**/step/@executionOrderId", "a chart runs along its links"),
    Noise("**/actionBlock/@executionOrderId", "a chart runs along its links"),
    Noise("**/inline/@name", "running name of inline code"),
)
