"""A symbolic run of statements in z3, written apart from the product, to hold two readings of one body side by side.

Every variable holds an uninterpreted value; Boolean operators are exact; everything else (comparisons, arithmetic,
functions) is an uninterpreted function of its arguments; a function block answers with uninterpreted functions of its
instance and its inputs at the call. R_TRIG and F_TRIG, called or drawn as an edge, are one function of the input.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import z3

from asfound.model import logic as m

VALUE = z3.DeclareSort("Value")
TRUE, FALSE = z3.Consts("true_value false_value", VALUE)
TRUTH = z3.Function("truth", VALUE, z3.BoolSort())
FACTS = (TRUTH(TRUE), z3.Not(TRUTH(FALSE)), TRUE != FALSE)
EDGES = {"r_trig": "rising", "f_trig": "falling"}
OPERATORS = {"and", "or", "xor", "not", "&"}


def as_bool(value):
    if z3.is_bool(value):
        return value
    if z3.is_app_of(value, z3.Z3_OP_ITE) and value.arg(1).eq(TRUE) and value.arg(2).eq(FALSE):
        return value.arg(0)
    return TRUTH(value)


def as_value(value):
    return z3.If(value, TRUE, FALSE) if z3.is_bool(value) else value


def edge(kind, value):
    return z3.Function(f"edge_{kind}", z3.BoolSort(), z3.BoolSort())(as_bool(value))


@dataclass
class Machine:
    """``types`` maps folded instance names to folded types."""

    types: dict[str, str]
    state: dict[str, object] = field(default_factory=dict)
    written: list[tuple[str, object]] = field(default_factory=list)

    def read(self, name):
        name = name.casefold()
        if name not in self.state:
            self.state[name] = z3.Const(name, VALUE)
        return self.state[name]

    def write(self, name, value, guard=None):
        name = name.casefold()
        if guard is not None:
            value = z3.If(as_bool(guard), as_value(value), as_value(self.read(name)))
        self.state[name] = value
        self.written.append((name, value))

    def name(self, e):
        match e:
            case m.Variable(name=name):
                return name
            case m.Direct(address=address):
                return address
            case m.Temporary(number=number):
                return f"_v{number}"
            case m.Member(of=of, name=name):
                return f"{self.name(of)}.{name}"
            case m.Element(of=of, indexes=indexes):
                return f"{self.name(of)}[{','.join(str(self.value(i)) for i in indexes)}]"
        raise AssertionError(f"not a variable: {e}")

    def value(self, e):
        match e:
            case m.Literal(text=text):
                word = text.upper().removeprefix("BOOL#")
                return z3.BoolVal(word == "TRUE") if word in ("TRUE", "FALSE") else z3.Const(f"literal {text}", VALUE)
            case m.Edge(kind=kind, of=of):
                return edge(kind, self.value(of))
            case m.Operation(operator=operator, operands=operands):
                return self.apply(operator, [self.value(o) for o in operands])
            case m.Invocation(function=function, inputs=inputs, outputs=outputs):
                name = self.name(function)
                enable = [a for a in inputs if a.name.casefold() == "en"]
                values = [self.value(a.value) for a in inputs if a.name.casefold() != "en"]
                result = self.apply(name, values)
                for a in outputs:
                    assert a.name.casefold() == "eno"
                    self.write(self.name(a.value), self.value(enable[0].value) if enable else z3.BoolVal(True))
                return result
        return self.read(self.name(e))

    def apply(self, operator, values):
        word = operator.casefold()
        if word in OPERATORS:
            bools = [as_bool(v) for v in values]
            if word == "not":
                return z3.Not(bools[0])
            if word == "xor":
                result = bools[0]
                for b in bools[1:]:
                    result = z3.Xor(result, b)
                return result
            return z3.Or(bools) if word == "or" else z3.And(bools)
        values = [as_value(v) for v in values]
        return z3.Function(f"{word}/{len(values)}", *[VALUE] * (len(values) + 1))(*values)

    def call(self, s):
        name = self.name(s.instance).casefold()
        kind = (self.types.get(name) or s.type).casefold()
        inputs = {a.name.casefold(): self.value(a.value) for a in s.inputs}
        if kind in EDGES:
            self.write(f"{name}.q", edge(EDGES[kind], inputs.get("clk", z3.BoolVal(False))))
            return
        pins = sorted(inputs)
        arguments = [as_value(inputs[p]) for p in pins]
        before = (
            z3.Const(f"state of {name}", VALUE) if f"{name} state" not in self.state else self.state[f"{name} state"]
        )
        for pin in ("q", "q1", "qu", "qd", "et", "cv", "eno", "xout", "out", "now"):
            f = z3.Function(f"{kind} {' '.join(pins)} {pin}", *[VALUE] * (len(arguments) + 2))
            self.state[f"{name}.{pin}"] = f(before, *arguments)
        f = z3.Function(f"{kind} {' '.join(pins)} state", *[VALUE] * (len(arguments) + 2))
        self.state[f"{name} state"] = f(before, *arguments)
        self.written.append((f"{name} state", self.state[f"{name} state"]))

    def run(self, statements, guard=None):
        for s in statements:
            condition = getattr(s, "condition", None)
            here = guard
            if condition is not None:
                value = as_bool(self.value(condition))
                here = value if guard is None else z3.And(guard, value)
            match s:
                case m.Assign(target=m.Temporary() as target, value=value, kind="assign"):
                    # a function that is not enabled: what its result is then is left to the implementation
                    self.write(self.name(target), self.value(value))
                case m.Assign(target=target, value=value, kind="assign"):
                    self.write(self.name(target), self.value(value), here)
                case m.Assign(target=target, value=value, kind=kind):
                    power = as_bool(self.value(value))
                    self.write(
                        self.name(target), z3.BoolVal(kind == "set"), power if here is None else z3.And(here, power)
                    )
                case m.Call():
                    assert here is None, "a guarded call"
                    self.call(s)
                case m.If(branches=(branch,), otherwise=()):
                    value = as_bool(self.value(branch.condition))
                    self.run(branch.statements, value if guard is None else z3.And(guard, value))
                case m.Remark():
                    pass
                case _:
                    raise AssertionError(f"not expected in generated text: {s}")


def differs(first, second) -> bool:
    """Can the two values differ for some input?"""
    solver = z3.Solver()
    solver.set("timeout", 10_000)
    solver.add(*FACTS)
    if z3.is_bool(first) or z3.is_bool(second):
        solver.add(as_bool(first) != as_bool(second))
    else:
        solver.add(first != second)
    return solver.check() != z3.unsat
