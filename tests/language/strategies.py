"""Arbitrary values of the model, for laws. What the model's own docstrings rule out is not generated."""

from __future__ import annotations

from hypothesis import strategies as st

from asfound.language.builder import flat
from asfound.model import logic as m
from asfound.model import program as p
from asfound.model.copy import Copy
from asfound.model.hardware import Device, Hardware, Module
from asfound.model.tags import Tag, TagTable
from asfound.model.values import ActualValue, Force

PLAIN = st.sampled_from(
    ["a", "b", "Pump1", "xStart", "rSet", "S", "R", "Größe", "__sys", "TON", "on", "Step", "ORANGE", "v1"]
)
ODD_TEXT = st.sampled_from(
    ["", "END_IF", "IF", "_v1", "R_EDGE", "Pump 1", "a*)b", "(*", "{", "}", '"', "$", "//x", "a;b", "a := b", "x\r\ny",
     "  pad ", "a\n  b", "''", "END_PROGRAM", "{body LD}", "{attribute 'x'}", "5", "T#5s", "%IX0.0", "VAR", "AT",
     "not", "mod", "x.y", "TO", "*", "(* c *)", "1..2", "\x00", "\u2028", "a,b", "n=v", "\\", "TRUE",
     ")", "*a", "S=", "\u00e9t\u00e9", "\U00018d09", "\x85", "'", "$N", "#"]
)  # fmt: skip
"""One draw each: model values are large, and hypothesis stops values that draw too much."""
ANY_TEXT = st.one_of(ODD_TEXT, st.text(max_size=12))
TEXT = PLAIN | ODD_TEXT
NAMES = st.one_of(PLAIN, PLAIN, PLAIN, ODD_TEXT)


def some(strategy, size=2):
    """A tuple of up to ``size``, small ones more often."""
    return st.integers(0, size).flatmap(lambda count: st.tuples(*[strategy] * count))


LITERALS = st.one_of(
    st.sampled_from(["TRUE", "FALSE", "0", "42", "16#FF", "T#1s500ms", "3.14", "'text'", "INT#5", "DATE#2026-01-02"]),
    ODD_TEXT,
).map(m.Literal)
ADDRESSES = st.sampled_from(["%IX0.0", "%QW4", "%M*", "%IW1.2.3", "%I1.0", "odd"])
LEAVES = st.one_of(
    NAMES.map(m.Variable),
    LITERALS,
    ADDRESSES.map(m.Direct),
    st.integers(1, 9).map(m.Temporary),
    ANY_TEXT.map(m.Unparsed),
)
MEMBER_NAMES = st.one_of(NAMES, st.sampled_from(["3", "%X3", "0", "Q", "END_IF", "12"]))


def _arguments(inner):
    return st.builds(m.Argument, st.one_of(st.just(""), NAMES), inner)


def _outputs(inner):
    return st.builds(m.Argument, NAMES.filter(bool), inner, st.booleans())


def _nested(inner):
    pair = st.tuples(inner, inner)
    return st.one_of(
        st.builds(m.Member, inner, MEMBER_NAMES),
        st.builds(m.Element, inner, st.lists(inner, min_size=1, max_size=2).map(tuple)),
        st.builds(m.Dereference, inner),
        st.builds(m.Edge, st.sampled_from(["rising", "falling"]), inner),
        st.builds(
            flat,
            st.sampled_from(["AND", "OR", "XOR"]),
            st.lists(inner, min_size=2, max_size=3),
        ),
        st.builds(lambda o, e: m.Operation(o, (e,)), st.sampled_from(["NOT", "NEG"]), inner),
        st.builds(
            m.Operation, st.sampled_from(["+", "-", "*", "/", "MOD", "**", "=", "<>", "<", "<=", ">", ">="]), pair
        ),
        st.builds(
            m.Invocation,
            st.one_of(inner, st.sampled_from(["AND", "OR", "MOD", "NOT", "R_EDGE", "LIMIT"]).map(m.Variable)),
            some(_arguments(inner), 3),
            some(_outputs(inner)),
        ),
    )


EXPRESSIONS = st.recursive(LEAVES, _nested, max_leaves=6)
SMALL = st.recursive(LEAVES, _nested, max_leaves=2)
CONDITIONS = st.one_of(st.none(), SMALL)

SIMPLE = st.one_of(
    st.builds(m.Assign, SMALL, SMALL, st.sampled_from(["assign", "set", "reset", "reference", "attempt"]), CONDITIONS),
    st.builds(m.Call, SMALL, st.one_of(st.just(""), NAMES), some(_arguments(SMALL)), some(_outputs(SMALL)), CONDITIONS),
    st.builds(m.Jump, NAMES, CONDITIONS),
    st.builds(m.Return, CONDITIONS),
    st.builds(m.Label, NAMES),
    st.just(m.Exit()),
    st.just(m.Continue()),
    ANY_TEXT.map(m.Verbatim),
    ANY_TEXT.map(m.Remark),
)


def _structured(inner):
    block = some(inner)
    labels = st.lists(st.one_of(SMALL, st.builds(m.Span, SMALL, SMALL)), min_size=1, max_size=2).map(tuple)
    return st.one_of(
        st.builds(m.If, st.lists(st.builds(m.Branch, SMALL, block), min_size=1, max_size=2).map(tuple), block),
        st.builds(m.Case, SMALL, some(st.builds(m.CaseArm, labels, block)), block),
        st.builds(m.For, SMALL, SMALL, SMALL, CONDITIONS, block),
        st.builds(m.While, SMALL, block),
        st.builds(m.Repeat, block, SMALL),
    )


STATEMENTS = st.recursive(SIMPLE, _structured, max_leaves=4)
BODY_STATEMENTS = some(STATEMENTS, 4)

EXTENSIONS = st.sampled_from(
    [(), (), (p.Extension("addData/x", "<a b='c'>{\"}</a>", "urn:x"),), (p.Extension("", "*)\r\n$", ""),) * 2]
)
PRAGMAS = st.sampled_from([(), (), ("{attribute 'x'}",), ("a;b {", "*)")])
TYPES = st.one_of(
    st.sampled_from(["BOOL", "ARRAY[1..4] OF INT", "STRING[20]", "POINTER TO X", "INT (0..100)", "Motor"]),
    ODD_TEXT.filter(bool),
)
INITIALS = st.one_of(st.sampled_from(["", "TRUE", "T#5s", "[1, 2(3)]", "(PT := T#5s, IN := TRUE)", "'a;b'"]), ODD_TEXT)
SECTIONS = st.sampled_from(
    ["input", "output", "in_out", "local", "temp", "external", "global", "access", "config", "member"]
)
VARIABLES = st.builds(
    p.VariableDeclaration,
    name=NAMES,
    type=TYPES,
    section=SECTIONS,
    address=st.one_of(st.just(""), ADDRESSES, ODD_TEXT),
    initial=INITIALS,
    constant=st.booleans(),
    retain=st.sampled_from(["", "retain", "non_retain"]),
    persistent=st.booleans(),
    edge=st.sampled_from(["", "rising", "falling"]),
    comment=TEXT,
    access=st.one_of(st.sampled_from(["", "PUBLIC", "READ_ONLY"]), ODD_TEXT),
    pragmas=PRAGMAS,
    extensions=EXTENSIONS,
)
NETWORKS = st.builds(p.Network, some(SIMPLE, 3), TEXT, TEXT, TEXT, PRAGMAS, EXTENSIONS)
BY = st.sampled_from(["file order", "numbers of coils"])
SEQUENCES = some(st.tuples(st.integers(0, 9), st.integers(0, 9)))


def _drawn(networks):
    """Bodies of these networks; what is doubted are statements of theirs."""
    spots = [(n, s) for n, network in enumerate(networks) for s in range(len(network.statements))]
    doubts = [
        st.builds(p.Doubt, BY, st.just("value")),
        st.builds(p.Doubt, st.just(""), st.just("said"), text=ODD_TEXT.filter(bool)),
    ]
    if spots:
        at = st.sampled_from(spots)
        doubts += [
            st.builds(p.Doubt, BY, st.just("before"), st.tuples(at, at)),
            st.builds(p.Doubt, BY, st.just("as"), st.tuples(at, at, at)),
            st.builds(p.Doubt, BY, st.just("label"), st.tuples(at), st.sampled_from(["End", "L 1"])),
        ]
    orders = st.builds(p.Order, SEQUENCES, some(st.one_of(doubts)))
    languages = st.sampled_from(["LD", "FBD"])
    return st.builds(
        p.Body, languages, networks=st.just(networks), order=orders, comments=PRAGMAS, extensions=EXTENSIONS
    )


CODE_BODIES = st.one_of(
    st.builds(
        p.Body, st.sampled_from(["ST", "IL", ""]), statements=BODY_STATEMENTS, comments=PRAGMAS, extensions=EXTENSIONS
    ),
    some(NETWORKS).flatmap(_drawn),
)  # fmt: skip
ASSOCIATIONS = st.builds(
    p.Association,
    NAMES,
    st.one_of(st.sampled_from(["N", "P1", "SD", "main", "entry", "exit"]), ODD_TEXT),
    st.one_of(st.sampled_from(["", "T#5s"]), ODD_TEXT),
    st.one_of(st.just(""), NAMES),
    TEXT,
    st.one_of(st.none(), st.none(), CODE_BODIES),
    EXTENSIONS,
)
STEPS = st.builds(
    p.Step, NAMES, st.booleans(), st.booleans(), some(ASSOCIATIONS), TEXT, st.one_of(st.none(), CODE_BODIES), EXTENSIONS
)
TRANSITIONS = st.builds(
    p.Transition, some(NAMES), some(NAMES), SMALL, some(SIMPLE), TEXT, st.one_of(st.none(), st.integers(-3, 99)), TEXT,
    EXTENSIONS,
)  # fmt: skip
CHARTS = st.builds(p.Chart, some(STEPS), some(TRANSITIONS), PRAGMAS, PRAGMAS, EXTENSIONS)
BODIES = st.one_of(CODE_BODIES, CODE_BODIES, st.builds(p.Body, st.just("SFC"), chart=CHARTS, comments=PRAGMAS))
ACTIONS = st.builds(p.Action, NAMES, BODIES, TEXT, EXTENSIONS)


def _pous(members, kinds):
    return st.builds(
        p.Pou,
        name=NAMES,
        kind=st.sampled_from(kinds),
        result=st.one_of(st.just(""), TYPES),
        variables=some(VARIABLES, 3),
        bodies=some(BODIES, 2),
        actions=some(ACTIONS, 1),
        transitions=some(ACTIONS, 1),
        members=members,
        extends=st.one_of(st.just(""), NAMES),
        implements=some(NAMES.filter(bool)),
        modifiers=some(st.one_of(st.sampled_from(["PUBLIC", "FINAL", "ABSTRACT"]), ODD_TEXT)),
        namespace=TEXT,
        comment=TEXT,
        pragmas=PRAGMAS,
        extensions=EXTENSIONS,
    )


MEMBERS = _pous(st.just(()), ["method", "property", "get", "set"])
POUS = _pous(some(MEMBERS, 1), ["program", "function_block", "function", "class", "interface"])
ENUM_VALUES = st.builds(p.EnumValue, NAMES, INITIALS, TEXT)
_TYPE_FIELDS = {"initial": INITIALS, "namespace": TEXT, "comment": TEXT, "pragmas": PRAGMAS, "extensions": EXTENSIONS}
DATA_TYPES = st.one_of(
    st.builds(p.DataType, NAMES, st.just("enum"), base=st.one_of(st.just(""), TYPES), values=some(ENUM_VALUES, 3),
              **_TYPE_FIELDS),
    st.builds(p.DataType, NAMES, st.sampled_from(["struct", "union"]), base=st.one_of(st.just(""), NAMES),
              members=some(VARIABLES, 3), **_TYPE_FIELDS),
    st.builds(p.DataType, NAMES, st.sampled_from(["array", "subrange", "alias"]), base=TYPES, **_TYPE_FIELDS),
)  # fmt: skip
GLOBALS = st.builds(p.GlobalList, TEXT, TEXT, some(VARIABLES, 3), TEXT, PRAGMAS, EXTENSIONS)
SETTINGS = some(st.builds(p.Setting, TEXT, TEXT))
TASKS = st.builds(
    p.Task, NAMES, st.sampled_from(["", "C", "C/R", "R"]), TEXT, TEXT, TEXT, TEXT, SETTINGS, TEXT, EXTENSIONS
)
INSTANCES = st.builds(p.Instance, NAMES, TYPES, TEXT, TEXT, EXTENSIONS)
RESOURCES = st.builds(p.Resource, NAMES, TEXT, TEXT, some(TASKS), some(INSTANCES), TEXT, EXTENSIONS)
LIBRARIES = st.builds(p.Library, TEXT, TEXT, SETTINGS, EXTENSIONS)
HEADINGS = st.builds(p.Heading, TEXT, TEXT, comment=TEXT, tool=TEXT, settings=SETTINGS)
PROGRAMS = st.builds(
    p.Program, HEADINGS, some(POUS), some(DATA_TYPES), some(GLOBALS), some(RESOURCES), some(LIBRARIES), EXTENSIONS
)
TAGS = st.builds(Tag, TEXT, TEXT, TEXT, TEXT, SETTINGS)
TABLES = st.builds(TagTable, TEXT, some(TAGS, 3))
HARDWARE = st.builds(
    Hardware, some(st.builds(Device, TEXT, modules=some(st.builds(Module, TEXT, st.none() | st.integers(0, 9)))))
)
COPIES = st.builds(
    Copy,
    program=PROGRAMS,
    tables=some(TABLES),
    hardware=HARDWARE,
    values=some(st.builds(ActualValue, TEXT, TEXT, TEXT, TEXT, TEXT, SETTINGS)),
    forces=some(st.builds(Force, TEXT, TEXT, TEXT, TEXT, SETTINGS)),
)
