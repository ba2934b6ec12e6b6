"""The noise table of the IEC 61131-10 reader: what is dropped, and why that is safe.

Paths are written as in :mod:`asfound.readers.noise_paths`; an object of a drawing carries its type, ``LdObject[Coil]``,
and extension data the last word of its own name, ``Data[objectid]``. ``[idle]`` is an output that no wire comes from,
``[jump]`` the wire of a jump that is drawn into a convergence, ``[numbered]`` a list whose members name their place,
``[drawn]`` a body without rungs, ``[said]`` a comment that stands in the declaration text as well. What is not listed
here and not understood is kept as an extension and compared.
"""

from __future__ import annotations

from asfound.readers.reader import Noise

_WIRED = "wires are resolved to what they connect; the number itself says nothing"
_SAME = "wires are resolved to what they carry: another place on the same wire is no other wiring"
_NOWHERE = "a wire that comes from nowhere is told as such; which number is missing says nothing"
_DRAWN = "drawing only; where place decides the order of execution, the order itself is compared"
_PINS = "the pins of a block have names; what is wired to them is compared"
_IDLE = "an output that no wire comes from"
_PAPER = "a jump drawn into a convergence closes the branch on paper only"
_HOLDER = "name of a wrapper: what is inside is found by what it is, wherever it is nested"
_PLACED = "the members name their place themselves; the order that leads to is compared"
_DEFAULT = "the default of the format: written or left out is the same"
_SAID = "repeats what the standard part of the element says; a disagreement is kept and compared"
_LISTED = "objects are matched by name, their order in the file says nothing"
_BRANCH = "running name of a branching; the transitions are compared, with their order"
_IDENTITY = "technical identity of an object; things are matched by name and content"
_ORDER = "numbers for the order of execution; the order itself is compared"

HOLDERS = (
    *("application", "pou", "datatype", "libraries", "projectstructure", "globalvars", "resource", "configuration"),
    *("interface", "class", "method", "property", "action", "transition", "task", "inheritance"),
)
"""Extension data that only wraps what is found and compared by its own element name."""

EMPTY = (
    *("InputVariables", "OutputVariables", "InoutVariables", "ConnectionPointIn", "ConnectionPointOut"),
    *("Types", "GlobalNamespace", "Instances", "Configurations", "AddData", "Actions", "Transitions"),
    *("Parameters", "InputVars", "OutputVars", "InoutVars", "ExternalVars", "Vars", "TempVars", "GlobalVars"),
    *("AccessVars", "ConfigVars", "Documentation", "Content", "ST", "IL", "attributes", "SFCSettings"),
    *(f"Data[{word}]" for word in HOLDERS),
)
"""Elements that are lists or texts and may be left out when there is nothing in them."""

REPEATED = ("38391c6d", "6844a48e", "e174fc0d", "23bdaa98", "01580b27", "bc882c11", "62e1754b", "8294df19")
"""Keys of ``sfc/element`` data that repeat a standard part or have only ever been idle; see extra.elements."""

LISTS = ("Parameters", "InputVars", "OutputVars", "InoutVars")
OBJECTS = ("LdObject", "FbdObject", "SfcObject", "CommonObject")
BRANCHES = ("SelectionDivergence", "SelectionConvergence", "SimultaneousDivergence", "SimultaneousConvergence")

NOISE = (
    Noise("**/FileHeader/@creationDateTime", "time of the export"),
    Noise("**/ContentHeader/@creationDateTime", "time of the export"),
    Noise("**/ContentHeader/@modificationDateTime", "time of the last edit or of the export"),
    Noise("**/ContentHeader/CoordinateInfo/**", "scale of drawings"),
    Noise("**/@schemaLocation", "where an XML validator finds the schema"),
    Noise("Project/@schemaVersion", "version of the exchange format, not of the program"),
    Noise("**/@globalId", _IDENTITY),
    Noise("**/Data[objectid]/**", _IDENTITY),
    Noise("**/Object/@ObjectId", _IDENTITY),
    Noise("**/@handleUnknown", "advice to an importer about data it does not know; the data itself is compared"),
    Noise("**/@connectionPointOutId=renumbered()", _WIRED),
    Noise("**/@refConnectionPointOutId=renumbered()", _WIRED),
    Noise("**/@refConnectionPointOutId=nowhere()", _NOWHERE),
    Noise("**/@refConnectionPointOutId=same()", _SAME),
    Noise("**/RelPosition/**", _DRAWN),
    Noise("**/Size/**", "size of a drawing"),
    *(
        Noise(f"**/{o}[RightPowerRail]/**", "the right power rail has no effect (IEC 61131-3 lets it be left out)")
        for o in OBJECTS
    ),
    *(
        Noise(f"**/{point}[idle]{inner}", _IDLE)
        for point in ("ConnectionPointOut", "ConnectionPointOutAction")
        for inner in ("", "/@connectionPointOutId")
    ),
    Noise("**/OutputVariable[idle]", _IDLE),
    Noise("**/OutputVariable[idle]/@parameterName", _IDLE),
    Noise("**/OutputVariable[idle]/@negated", _IDLE),
    Noise("**/OutputVariable[idle]/@edge", _IDLE),
    *(Noise(f"**/{o}[{b}]/@name", _BRANCH) for o in OBJECTS for b in BRANCHES),
    Noise("**/Inline/@name", "running name of inline code"),
    *(Noise(f"**/Data[{word}]/@name", _HOLDER) for word in HOLDERS),
    Noise("**/Attribute/@Value=", _DEFAULT),
    *(
        Noise(f"**/{o}[{b}]/AddData/Data[sfc/element]/attributes/attribute[38391c6d]/text()", _BRANCH)
        for o in OBJECTS
        for b in BRANCHES
    ),
    Noise(
        "**/Data[interfaceasplaintext]/removed()",
        "the interface as text; comments and disagreements are kept",
    ),
    Noise("**/Data[projectinformation]/**", "description of the project that exports leave empty"),
    Noise("**/Data[sfc/element]/attributes/order()", "order of the attributes of a chart element: they have names"),
    Noise("**/Documentation[said]/@type=SimpleText", "kind of a text: there is only one; another word is kept"),
    Noise("**/Documentation/@type=SimpleText", "kind of a text: there is only one; another word is kept"),
    Noise("**/Content/@type=SimpleText", "kind of a text: there is only one; another word is kept"),
    *(
        Noise(f"**/{body}/@type=inner()", "language of a body that the element inside tells as well")
        for body in ("BodyContent", "BodyContent[drawn]", "BodyContent[numbered]")
    ),
    Noise("**/@negated=false", _DEFAULT),
    Noise("**/@edge=none", _DEFAULT),
    Noise("**/@latch=none", _DEFAULT),
    Noise("**/@initialStep=false", _DEFAULT),
    Noise("**/@isAbstract=false", _DEFAULT),
    Noise("**/@isFinal=false", _DEFAULT),
    Noise("**/@isOverride=false", _DEFAULT),
    Noise("**/@constant=false", _DEFAULT),
    Noise("**/@retain=false", _DEFAULT),
    Noise("**/@persistent=false", _DEFAULT),
    Noise("**/@qualifier=N", _DEFAULT),
    Noise("**/@qualifier=", _DEFAULT),
    Noise("**/@duration=", _DEFAULT),
    Noise("**/@indicator=", _DEFAULT),
    Noise("**/@typeName=", _DEFAULT),
    Noise("**/@evaluationOrder=ordered()", _ORDER),
    Noise("**/@orderWithinParamSet=ordered()", _ORDER),
    Noise("**/@dimensionNumber=ordered()", _ORDER),
    Noise("**/OutputVariable/@parameterName=", _DEFAULT),
    Noise("**/GlobalNamespace/order()", _LISTED),
    Noise("**/NamespaceDecl/order()", _LISTED),
    Noise("**/Resource/order()", _LISTED),
    Noise("**/Configuration/order()", _LISTED),
    Noise("**/AddData/order()", _LISTED),
    Noise("**/Libraries/order()", _LISTED),
    Noise("**/ProjectStructure/**/order()", _LISTED),
    *(Noise(f"**/{owner}/order()", _LISTED) for owner in ("Program", "FunctionBlock", "Class", "Interface", "Actions")),
    Noise("**/BodyContent[numbered]/order()", _PLACED),
    Noise("**/BodyContent[drawn]/order()", _DRAWN),
    *(Noise(f"**/{listed}[numbered]/order()", _PLACED) for listed in LISTS),
    Noise("**/UserDefinedTypeSpec[ArrayTypeSpec][numbered]/order()", _PLACED),
    Noise("**/InstantlyDefinedType[ArrayTypeSpec][numbered]/order()", _PLACED),
    Noise("**/Rung/order()", _DRAWN),
    Noise("**/Network/order()", _DRAWN),
    Noise("**/InputVariables/order()", "order of the pins of a block: they have names"),
    Noise("**/OutputVariables/order()", _PINS),
    Noise("**/InoutVariables/order()", "order of the pins of a block: they have names"),
    *(Noise(f"**/{o}[{b}]/order()", _BRANCH) for o in OBJECTS for b in BRANCHES),
    Noise("**/ConnectionPointIn/order()", "order of several wires into one point: they are OR"),
    Noise("**/ConnectionPointIn[jump]/**", _PAPER),
    Noise("**/ConnectionPointOut[jump]", _PAPER),
    Noise("**/ConnectionPointOut[jump]/@connectionPointOutId", _PAPER),
    *(Noise(f"**/attribute[{key}]/removed()", _SAID) for key in REPEATED),
    Noise("**/Documentation[said]/removed()", "the comment stands in the declaration text as well"),
    *(Noise(f"**/{name}/empty()", "a list without any entry") for name in EMPTY),
)
