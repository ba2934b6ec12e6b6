"""The noise table of the TC6 reader: what is dropped, and why that is safe.

Paths are written as in :mod:`asfound.readers.noise_paths`; an extension element ``data`` carries the last word of its
own name, ``data[objectid]``. What is not listed here and not understood is kept as an extension and compared.
"""

from __future__ import annotations

from asfound.readers.reader import Noise

_WIRED = "wires are resolved to what they connect; the number itself says nothing"
_SAME = "wires are resolved to what they carry: another place on the same wire is no other wiring"
_NOWHERE = "a wire that comes from nowhere is told as such; which number is missing says nothing"
_DRAWN = "drawing only; where place decides the order of execution, the order itself is compared"
_PINS = "the pins of a block follow from its type; the wires name those that are used, with their modifiers"
_DEFAULT = "the default of the format: written or left out is the same"
_SAID = "repeats what the standard part of the element says; a disagreement is kept and compared"
_LISTED = "objects are matched by name, their order in the file says nothing"
_BRANCH = "running name of a branching; the transitions are compared, with their order"
_ONE_PIN = "steps, transitions and branchings are left through the one pin they have"
_HOLDER = "name of a wrapper: what is inside is found by what it is, wherever it is nested"
_IDENTITY = "technical identity of an object; things are matched by name and content"

HOLDERS = (
    *("application", "pou", "datatype", "libraries", "projectstructure", "globalvars", "resource", "configuration"),
    *("interface", "class", "method", "property", "action", "transition", "task", "inheritance"),
)
"""Extension data that only wraps what is found and compared by its own element name."""
EMPTY = (
    *("inputVariables", "outputVariables", "inOutVariables", "connectionPointIn", "connectionPointOut"),
    *("types", "dataTypes", "pous", "actions", "transitions", "instances", "configurations", "addData"),
    *("interface", "inputVars", "outputVars", "inOutVars", "localVars", "tempVars", "externalVars", "globalVars"),
    *("documentation", "xhtml", "p", "attributes", "SFCSettings"),
    *(f"data[{word}]" for word in HOLDERS),
)

BRANCHES = ("selectionDivergence", "selectionConvergence", "simultaneousDivergence", "simultaneousConvergence")
CHART = ("transition", "step", "macroStep", "jumpStep", "actionBlock", *BRANCHES)
DRAWN = (
    *("comment", "error", "connector", "continuation", "actionBlock", "vendorElement"),
    *("block", "inVariable", "outVariable", "inOutVariable", "label", "jump", "return"),
    *("leftPowerRail", "rightPowerRail", "coil", "contact"),
    *("step", "macroStep", "jumpStep", "transition", *BRANCHES),
)
"""What a diagram is made of; source: the published TC6 2.01 schema."""
POINTS = ("connectionPointIn", "connectionPointOut", "connectionPointOutAction", "action")
"""Parts of a drawn element with a place of their own, seen from it."""
IDENTIFIED = ("Object", "Method", "method", "Property", "property", *("GetAccessor", "SetAccessor", "Get", "Set"))
"""Elements of extension data that carry the identity of an object."""
REPEATED = ("38391c6d", "6844a48e", "e174fc0d", "23bdaa98", "01580b27", "bc882c11", "62e1754b", "8294df19")
"""Keys of ``sfc/element`` data that repeat a standard part or have only ever been idle; see step_actions.py."""

NOISE = (
    Noise("**/fileHeader/@creationDateTime", "time of the export"),
    Noise("**/contentHeader/@modificationDateTime", "time of the last edit or of the export"),
    Noise("**/contentHeader/coordinateInfo/**", "scale of drawings"),
    Noise("**/project/@schemaLocation", "where an XML validator finds the schema"),
    *(Noise(f"**/{part}/@localId", _WIRED) for part in (*DRAWN, "action")),
    Noise("**/@refLocalId=nowhere()", _NOWHERE),
    Noise("**/@refLocalId=same()", _SAME),
    Noise("**/@globalId", _IDENTITY),
    Noise("**/data[objectid]/**", _IDENTITY),
    *(Noise(f"**/{part}/@ObjectId", _IDENTITY) for part in IDENTIFIED),
    Noise("**/@handleUnknown", "advice to an importer about data it does not know; the data itself is compared"),
    *(Noise(f"**/{part}/@{side}", "size of a drawing") for part in (*DRAWN, "action") for side in ("height", "width")),
    *(Noise(f"**/{part}/position/**", _DRAWN) for part in (*DRAWN, "connection")),
    *(Noise(f"**/{part}/relPosition/**", _DRAWN) for part in POINTS),
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
    *(Noise(f"**/data[{word}]/@name", _HOLDER) for word in HOLDERS),
    Noise("**/Attribute/@Value=", _DEFAULT),
    *(
        Noise(f"**/{part}/addData/data[sfc/element]/attributes/attribute[38391c6d]/text()", _BRANCH)
        for part in BRANCHES
    ),
    Noise("**/inline/@name", "running name of inline code"),
    Noise(
        "**/data[interfaceasplaintext]/removed()",
        "the interface as text; comments and disagreements are kept",
    ),
    Noise("**/data[projectinformation]/**", "description of the project that exports leave empty"),
    Noise("**/data[sfc/element]/attributes/order()", "order of the attributes of a chart element: they have names"),
    Noise("**/@negated=false", _DEFAULT),
    Noise("**/@negatedIn=false", _DEFAULT),
    Noise("**/@negatedOut=false", _DEFAULT),
    Noise("**/@edge=none", _DEFAULT),
    Noise("**/@storage=none", _DEFAULT),
    Noise(
        "**/@executionOrderId",
        "numbers for the order of execution; the order is compared, statement by statement",
    ),
    Noise("**/connection/@formalParameter=first()", "a wire without a pin name comes from the first output"),
    Noise("**/@initialStep=false", _DEFAULT),
    Noise("**/@qualifier=N", _DEFAULT),
    Noise("**/@qualifier=", _DEFAULT),
    Noise("**/@duration=", _DEFAULT),
    Noise("**/@indicator=", _DEFAULT),
    Noise("**/@formalParameter=", _DEFAULT),
    Noise("**/@typeName=", _DEFAULT),
    Noise("**/pous/order()", _LISTED),
    Noise("**/dataTypes/order()", _LISTED),
    Noise("**/actions/order()", _LISTED),
    Noise("**/transitions/order()", _LISTED),
    Noise("**/addData/order()", _LISTED),
    Noise("**/resource/order()", _LISTED),
    Noise("**/configuration/order()", _LISTED),
    Noise("**/Libraries/order()", _LISTED),
    Noise("**/ProjectStructure/**/order()", _LISTED),
    Noise("**/LD/order()", _DRAWN),
    Noise("**/FBD/order()", _DRAWN),
    Noise("**/SFC/order()", _DRAWN),
    Noise("**/inputVariables/order()", "order of the pins of a block: they have names"),
    Noise("**/outputVariables/order()", _PINS),
    Noise("**/inOutVariables/order()", "order of the pins of a block: they have names"),
    Noise("**/selectionDivergence/order()", _BRANCH),
    Noise("**/selectionConvergence/order()", _BRANCH),
    Noise("**/simultaneousDivergence/order()", _BRANCH),
    Noise("**/simultaneousConvergence/order()", _BRANCH),
    Noise("**/coordinateInfo/order()", "scale of drawings"),
    *(Noise(f"**/{part}/connectionPointIn/connection/@formalParameter", _ONE_PIN) for part in CHART),
    Noise("**/connectionPointIn[jump]/**", "a jump drawn into a convergence closes the branch on paper only"),
    *(Noise(f"**/attribute[{key}]/removed()", _SAID) for key in REPEATED),
    Noise("**/documentation[said]/**/removed()", "the comment stands in the declaration text as well"),
    *(Noise(f"**/{name}/empty()", "a list without any entry") for name in EMPTY),
    Noise("**/connectionPointIn/order()", "order of several wires into one point: they are OR"),
)
