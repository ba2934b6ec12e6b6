"""What a controller program consists of: POUs, types, variables, tasks."""

from __future__ import annotations

from typing import Literal as Choice

from asfound.model.logic import Expression, Node, Statement


class Extension(Node, frozen=True):
    """Data of an export that we do not interpret: kept as canonical text and compared, never dropped.

    ``path`` says where it sat below its owner (element names, ``@name`` for an attribute, ``text()`` for text),
    ``name`` is the name the export itself gives to it (a URI, often empty), ``text`` the canonical XML or value.
    """

    path: str
    text: str
    name: str = ""


ALTERNATIVES = "order of alternatives of {} in the file"
"""Where a chart keeps in which order the file lists what leaves a step, when it is drawn in another one."""
BESIDE = "drawn beside the chart"
"""Where a chart keeps what is drawn with it and leads to nothing of it."""


class VariableDeclaration(Node, frozen=True):
    """One declared variable (or structure member).

    ``type`` and ``initial`` are IEC 61131-3 text in canonical spelling (``ARRAY[1..4] OF INT``, ``T#5s``).
    ``initial`` is empty when the export gives none, which means the default of the type.
    """

    name: str
    type: str
    section: Choice[
        "input", "output", "in_out", "local", "temp", "external", "global", "access", "config", "member"
    ] = "local"
    address: str = ""
    initial: str = ""
    constant: bool = False
    retain: Choice["", "retain", "non_retain"] = ""
    persistent: bool = False
    edge: Choice["", "rising", "falling"] = ""
    comment: str = ""
    access: str = ""
    """``PUBLIC``, ``PRIVATE``, ``PROTECTED``, ``INTERNAL``; for an access path ``READ_ONLY`` or ``READ_WRITE``."""
    pragmas: tuple[str, ...] = ()
    extensions: tuple[Extension, ...] = ()


class Network(Node, frozen=True):
    """One rung or function block network: a connected piece of the diagram, statements in execution order."""

    statements: tuple[Statement, ...]
    label: str = ""
    title: str = ""
    comment: str = ""
    leftovers: tuple[str, ...] = ()
    """Drawn but without effect (a contact whose output goes nowhere), in words, sorted."""
    extensions: tuple[Extension, ...] = ()


Spot = tuple[int, int]
"""A statement of a diagram: (network, statement), both from 0."""


class Doubt(Node, frozen=True):
    """What another compiler, which runs a diagram in another order (``by``), would do otherwise.

    ``before``: the first of two statements that share a variable runs before the second. ``as``: blocks, whose shared
    variables cannot be seen, run in this order. ``label``: the label ``text`` stands before a statement, or at the end.
    ``value``: a value is read before or after it is written. ``said``: ``text`` is all that is known.
    """

    by: str
    kind: Choice["before", "as", "label", "value", "said"]
    places: tuple[Spot, ...] = ()
    text: str = ""


class Order(Node, frozen=True):
    """Execution order of a diagram where it is not simply network after network.

    ``sequence`` lists the statements in the order assumed (explicit ids, then position, then document order). Empty
    when it is the plain one. ``doubts`` are sorted.
    """

    sequence: tuple[Spot, ...] = ()
    doubts: tuple[Doubt, ...] = ()


class Association(Node, frozen=True):
    """An action tied to a step. ``action`` names an action or a Boolean variable; an inline action has a ``body``.

    ``qualifier``: N, R, S, L, D, P, P0, P1, SD, DS, SL as in IEC 61131-3, or ``main``, ``entry``, ``exit`` for the
    code that some exports attach to a step outside the action block.
    """

    action: str
    qualifier: str = "N"
    duration: str = ""
    indicator: str = ""
    comment: str = ""
    body: Body | None = None
    extensions: tuple[Extension, ...] = ()


class Step(Node, frozen=True):
    """A step of a chart; ``initial`` is active at the start, ``macro`` stands for the chart in its ``body``."""

    name: str
    initial: bool = False
    macro: bool = False
    actions: tuple[Association, ...] = ()
    comment: str = ""
    body: Body | None = None
    """Only for a macro step."""
    extensions: tuple[Extension, ...] = ()


class Transition(Node, frozen=True):
    """From one or more steps (simultaneous convergence) to one or more (simultaneous divergence).

    ``condition`` is the value; a ladder or block network that has to run first is in ``statements``. A condition
    given by name keeps the name as a :class:`Variable`. Transitions leaving one step stand in the order in which
    they are tried; ``priority`` is only set when the export says so.
    """

    sources: tuple[str, ...]
    targets: tuple[str, ...]
    condition: Expression
    statements: tuple[Statement, ...] = ()
    name: str = ""
    priority: int | None = None
    comment: str = ""
    extensions: tuple[Extension, ...] = ()


class Chart(Node, frozen=True):
    """A sequential function chart with the drawing resolved: divergences and jumps have become transitions."""

    steps: tuple[Step, ...]
    transitions: tuple[Transition, ...]
    leftovers: tuple[str, ...] = ()
    comments: tuple[str, ...] = ()
    extensions: tuple[Extension, ...] = ()


class Body(Node, frozen=True):
    """The code of a POU, action, method or transition.

    ST and IL fill ``statements``; LD and FBD ``networks`` (and ``order``); SFC ``chart``. ``comments`` are the
    free-standing comments of a diagram that belong to no network.
    """

    language: Choice["ST", "IL", "LD", "FBD", "SFC", ""]
    statements: tuple[Statement, ...] = ()
    networks: tuple[Network, ...] = ()
    chart: Chart | None = None
    order: Order = Order()
    comments: tuple[str, ...] = ()
    extensions: tuple[Extension, ...] = ()


class Action(Node, frozen=True):
    """A named action or a named transition body of a POU."""

    name: str
    body: Body
    comment: str = ""
    extensions: tuple[Extension, ...] = ()


class Pou(Node, frozen=True):
    """Program organisation unit; methods and property accessors are POUs nested in ``members``."""

    name: str
    kind: Choice["program", "function_block", "function", "class", "interface", "method", "property", "get", "set"]
    result: str = ""
    """Type of the value a function, method or property returns."""
    variables: tuple[VariableDeclaration, ...] = ()
    bodies: tuple[Body, ...] = ()
    """Almost always one; some exports split a POU into several worksheets."""
    actions: tuple[Action, ...] = ()
    transitions: tuple[Action, ...] = ()
    members: tuple[Pou, ...] = ()
    extends: str = ""
    implements: tuple[str, ...] = ()
    modifiers: tuple[str, ...] = ()
    """``PUBLIC``, ``FINAL``, ``ABSTRACT``, ``OVERRIDE``, sorted."""
    namespace: str = ""
    comment: str = ""
    pragmas: tuple[str, ...] = ()
    extensions: tuple[Extension, ...] = ()


class EnumValue(Node, frozen=True):
    """One name of an enumeration; ``value`` is an IEC literal, empty where the export leaves it to the order."""

    name: str
    value: str = ""
    comment: str = ""


class DataType(Node, frozen=True):
    """A user type. ``kind`` decides which of the other fields are filled.

    ``base`` is the aliased type, the element type text of an array (whole ``ARRAY[..] OF ..``), the based type of an
    enumeration or the parent of a subrange (``INT (0..100)``).
    """

    name: str
    kind: Choice["enum", "struct", "union", "array", "subrange", "alias"]
    base: str = ""
    members: tuple[VariableDeclaration, ...] = ()
    values: tuple[EnumValue, ...] = ()
    initial: str = ""
    namespace: str = ""
    comment: str = ""
    pragmas: tuple[str, ...] = ()
    extensions: tuple[Extension, ...] = ()


class GlobalList(Node, frozen=True):
    """A block of global, access or configuration variables. ``scope`` is ``configuration/resource`` as far as known."""

    name: str
    scope: str
    variables: tuple[VariableDeclaration, ...]
    comment: str = ""
    pragmas: tuple[str, ...] = ()
    extensions: tuple[Extension, ...] = ()


class Setting(Node, frozen=True):
    """A named value we do not interpret further; a nested setting has a path in its name, ``Filter/Time``."""

    name: str
    value: str


class Instance(Node, frozen=True):
    """A program instance; ``task`` is empty when it runs without a task (continuously)."""

    name: str
    type: str
    task: str = ""
    comment: str = ""
    extensions: tuple[Extension, ...] = ()


class Task(Node, frozen=True):
    """What runs program instances, in time or on an event.

    ``interval`` is an IEC duration literal (``T#10ms``), ``priority`` as written (IEC 61131-3: 0 is the highest),
    ``single`` the triggering variable or empty.
    """

    name: str
    scope: str
    priority: str = ""
    interval: str = ""
    single: str = ""
    kind: str = ""
    settings: tuple[Setting, ...] = ()
    comment: str = ""
    extensions: tuple[Extension, ...] = ()


class Resource(Node, frozen=True):
    """One processing unit of a configuration, with its tasks and program instances."""

    name: str
    scope: str
    type: str = ""
    tasks: tuple[Task, ...] = ()
    instances: tuple[Instance, ...] = ()
    comment: str = ""
    extensions: tuple[Extension, ...] = ()


class Library(Node, frozen=True):
    """A library that the program uses; ``version`` as written, ``*`` or empty where none is fixed (a limit)."""

    name: str
    version: str = ""
    settings: tuple[Setting, ...] = ()
    extensions: tuple[Extension, ...] = ()


class Heading(Node, frozen=True):
    """Documentation of a project: what its title block says. Tool names and versions are evidence, shown apart."""

    name: str = ""
    version: str = ""
    author: str = ""
    organization: str = ""
    language: str = ""
    comment: str = ""
    tool: str = ""
    """Product name and version that wrote the export."""
    settings: tuple[Setting, ...] = ()


class Program(Node, frozen=True):
    """Everything logical in one copy. Order of the lists follows the export; the normal form sorts them by name."""

    heading: Heading = Heading()
    pous: tuple[Pou, ...] = ()
    types: tuple[DataType, ...] = ()
    globals: tuple[GlobalList, ...] = ()
    resources: tuple[Resource, ...] = ()
    libraries: tuple[Library, ...] = ()
    extensions: tuple[Extension, ...] = ()
