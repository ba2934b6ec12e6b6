"""Expressions and statements as trees in parentheses: an independent view, without the printer's idea of precedence."""

from __future__ import annotations

from asfound.language.parser import parse_expression, parse_statements
from asfound.model import logic as m


def expression(text: str) -> str:
    """The tree of an expression, ``a + b * c`` as ``(+ a (* b c))``."""
    return tree(parse_expression(text))


def body(text: str) -> list[str]:
    """The trees of the statements of a body in structured text."""
    return [tree(statement) for statement in parse_statements(text)]


def tree(node) -> str:
    match node:
        case None:
            return "-"
        case m.Literal(text=text):
            return text
        case m.Variable(name=name) | m.Direct(address=name):
            return name
        case m.Temporary(number=number):
            return f"_v{number}"
        case m.Member(of=of, name=name):
            return f"{tree(of)}.{name}"
        case m.Element(of=of, indexes=indexes):
            return f"{tree(of)}[{several(indexes)}]"
        case m.Dereference(of=of):
            return f"{tree(of)}^"
        case m.Operation(operator=operator, operands=operands):
            return f"({operator} {several(operands)})"
        case m.Edge(kind=kind, of=of):
            return f"({kind} {tree(of)})"
        case m.Invocation(function=function, inputs=inputs, outputs=outputs):
            return f"{tree(function)}({arguments(inputs, outputs)})"
        case m.Unparsed(text=text):
            return f"?{text}?"
        case m.Span(low=low, high=high):
            return f"{tree(low)}..{tree(high)}"
    return statement(node)


def several(nodes) -> str:
    return " ".join(tree(node) for node in nodes)


def arguments(inputs, outputs) -> str:
    given = [f"{a.name}:={tree(a.value)}" if a.name else tree(a.value) for a in inputs]
    taken = [f"{'NOT ' * a.negated}{a.name}=>{tree(a.value)}" for a in outputs]
    return " ".join([*given, *taken])


def when(condition) -> str:
    return f" when {tree(condition)}" if condition is not None else ""


def statement(node) -> str:
    match node:
        case m.Assign(target=target, value=value, kind=kind, condition=condition):
            return f"{kind} {tree(target)} {tree(value)}{when(condition)}"
        case m.Call(instance=instance, inputs=inputs, outputs=outputs, condition=condition):
            return f"call {tree(instance)}({arguments(inputs, outputs)}){when(condition)}"
        case m.Jump(label=label, condition=condition):
            return f"jump {label}{when(condition)}"
        case m.Return(condition=condition):
            return f"return{when(condition)}"
        case m.Label(name=name):
            return f"label {name}"
        case m.Exit():
            return "exit"
        case m.Continue():
            return "continue"
        case m.Verbatim(text=text):
            return f"verbatim {text}"
        case m.Remark(text=text):
            return f"remark {text}"
        case m.If(branches=branches, otherwise=otherwise):
            arms = "".join(f" [{tree(b.condition)}: {block(b.statements)}]" for b in branches)
            return f"if{arms} else {block(otherwise)}"
        case m.Case(selector=selector, arms=arms, otherwise=otherwise):
            rows = "".join(f" [{several(arm.labels)}: {block(arm.statements)}]" for arm in arms)
            return f"case {tree(selector)}{rows} else {block(otherwise)}"
        case m.For(variable=variable, first=first, last=last, step=step, statements=inside):
            return f"for {several((variable, first, last))} by {tree(step)} {block(inside)}"
        case m.While(condition=condition, statements=inside):
            return f"while {tree(condition)} {block(inside)}"
        case m.Repeat(statements=inside, until=until):
            return f"repeat {block(inside)} until {tree(until)}"
    raise TypeError(node)


def block(statements) -> str:
    return "{" + "; ".join(tree(node) for node in statements) + "}"
