"""Law: the statements taken from an instruction list do what an accumulator machine does that knows only the text.

The machine is a few lines of its own and shares nothing with the code under test. External source: IEC 61131-3:2013
table 68 (instruction list operators), from memory.
"""

from __future__ import annotations

import operator as op
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from asfound.language import statement_printer
from asfound.language.il import parse_il
from asfound.language.parser import parse_statements
from asfound.model import logic as m

NAMES = ["a", "b", "c", "d"]
BOOLS = {"AND": op.and_, "OR": op.or_, "XOR": op.xor}
NUMBERS = {  # of 16 bits, so that loops do not grow without end
    "ADD": lambda x, y: (x + y) % 65536,
    "SUB": lambda x, y: (x - y) % 65536,
    "MUL": lambda x, y: (x * y) % 65536,
}
COMPARISONS = {"GT": op.gt, "GE": op.ge, "EQ": op.eq, "NE": op.ne, "LE": op.le, "LT": op.lt}
SYMBOLS = {
    "+": NUMBERS["ADD"],
    "-": NUMBERS["SUB"],
    "*": NUMBERS["MUL"],
    ">": op.gt,
    ">=": op.ge,
    "=": op.eq,
    "<>": op.ne,
    "<=": op.le,
    "<": op.lt,
}
LIMIT = 300


def machine(text: str, memory: dict, budget: int = LIMIT) -> dict | None:
    """Run an instruction list; None when it does not end in time."""
    code = [line.split() for line in text.splitlines()]
    labels = {line[0]: at for at, line in enumerate(code) if line[0].endswith(":")}
    memory, accumulator, stack, at = dict(memory), None, [], 0
    while at < len(code):
        budget -= 1
        if budget < 0:
            return None
        word, *rest = code[at]
        at += 1
        if word.endswith(":"):
            continue
        if word == ")":
            base, negated, left = stack.pop()
            right = not accumulator if negated else accumulator
            accumulator = {**BOOLS, **NUMBERS}[base](left, right)
        elif word.endswith("("):
            base = word[:-1]
            stack.append((base.removesuffix("N"), base.endswith("N"), accumulator))
            accumulator = memory[rest[0]]
        elif word in ("LD", "LDN"):
            accumulator = not memory[rest[0]] if word == "LDN" else memory[rest[0]]
        elif word in ("ST", "STN"):
            memory[rest[0]] = not accumulator if word == "STN" else accumulator
        elif word in ("S", "R"):
            memory[rest[0]] = (word == "S") if accumulator else memory[rest[0]]
        elif word == "NOT":
            accumulator = not accumulator
        elif word.startswith("JMP"):
            if word == "JMP" or bool(accumulator) != word.endswith("N"):
                at = labels[f"{rest[0]}:"]
        elif word.startswith("RET"):
            if word == "RET" or bool(accumulator) != word.endswith("N"):
                return memory
        else:
            negated = word not in BOOLS and word.endswith("N") and word[:-1] in BOOLS
            function = {**BOOLS, **NUMBERS, **COMPARISONS}[word.removesuffix("N") if negated else word]
            accumulator = function(accumulator, not memory[rest[0]] if negated else memory[rest[0]])
    return memory


def evaluate(e, memory):
    match e:
        case m.Variable(name=name):
            return memory[name]
        case m.Temporary(number=number):
            return memory[number]
        case m.Operation(operator="NOT", operands=(only,)):
            return not evaluate(only, memory)
        case m.Operation(operator="AND" | "OR" | "XOR" as word, operands=operands):
            first, *rest = (evaluate(x, memory) for x in operands)
            for value in rest:
                first = BOOLS[word](first, value)
            return first
        case m.Operation(operator=symbol, operands=(left, right)):
            return SYMBOLS[symbol](evaluate(left, memory), evaluate(right, memory))
    raise TypeError(e)


def run(statements, memory) -> dict:
    """Execute extracted statements."""
    labels = {s.name: at for at, s in enumerate(statements) if isinstance(s, m.Label)}
    memory, at = dict(memory), 0
    for _ in range(LIMIT * 4):
        if at >= len(statements):
            break
        s = statements[at]
        at += 1
        if isinstance(s, m.Assign):
            value = evaluate(s.value, memory)
            if s.kind == "assign":
                memory[s.target.name if isinstance(s.target, m.Variable) else s.target.number] = value
            elif value:
                memory[s.target.name] = s.kind == "set"
        elif isinstance(s, m.Jump | m.Return) and (s.condition is None or evaluate(s.condition, memory)):
            if isinstance(s, m.Return):
                break
            at = labels[s.label]
    return {name: memory[name] for name in NAMES}


def values(random: Random, numeric: bool, deep: int = 0) -> list[str]:
    """Instructions that combine the accumulator with something."""
    lines: list[str] = []
    for _ in range(random.randint(0, 3)):
        word = random.choice(list(NUMBERS)) if numeric else random.choice(list(BOOLS)) + random.choice(["", "N"])
        if deep < 3 and random.random() < 0.3:
            lines += [f"{word}( {random.choice(NAMES)}", *values(random, numeric, deep + 1), ")"]
        elif not numeric and random.random() < 0.2:
            lines.append("NOT")
        else:
            lines.append(f"{word} {random.choice(NAMES)}")
    return lines


def program(random: Random, numeric: bool) -> str:
    """An instruction list: sequences with stores, jumps in both directions, labels, some of which carry a value."""
    sequences: list[list[str]] = []
    count = random.randint(1, 5)
    for index in range(count):
        loads = ["LD"] if numeric else ["LD", "LDN"]
        lines = [f"{random.choice(loads)} {random.choice(NAMES)}", *values(random, numeric)]
        for _ in range(random.randint(1, 3)):
            stores = ["ST"] if numeric else ["ST", "STN", "S", "R"]
            lines.append(f"{random.choice(stores)} {random.choice(NAMES)}")
            lines += values(random, numeric) if random.random() < 0.3 else []
        lines.append(f"ST {random.choice(NAMES)}")
        if random.random() < 0.4:
            if numeric:
                lines.append(f"{random.choice(list(COMPARISONS))} {random.choice(NAMES)}")
            lines.append(
                f"{random.choice(['JMPC', 'JMPCN', 'RETC'])} L{random.randrange(count)}".replace("RETC L", "RETC #")
            )
            lines[-1] = lines[-1].split(" #")[0]
        elif random.random() < 0.15:
            lines.append(f"JMP L{random.randrange(count)}")
        at = random.choice([0, 0, len(lines) - 1]) if not numeric else 0
        sequences.append([*lines[:at], f"L{index}:", *lines[at:]])
    return "\n".join(line for lines in sequences for line in lines)


def understood(statements) -> bool:
    return not any(isinstance(s, m.Verbatim) for s in statements)


@pytest.mark.parametrize("numeric", [False, True])
@settings(max_examples=400, suppress_health_check=list(HealthCheck))
@given(st.randoms(use_true_random=False), st.lists(st.integers(-3, 3), min_size=4, max_size=4))
def test_statements_do_what_the_accumulator_does(numeric: bool, random: Random, start: list[int]) -> None:
    text = program(random, numeric)
    memory = dict(zip(NAMES, start if numeric else [n > 0 for n in start], strict=True))
    statements = parse_il(text)
    expected = machine(text, memory)
    if understood(statements) and expected is not None:
        assert run(statements, memory) == expected, f"{text}\n{statement_printer.statements(statements)}"


def test_most_of_these_lists_are_understood() -> None:
    random = Random(1)
    texts = [program(random, numeric) for numeric in (False, True) for _ in range(300)]
    share = sum(understood(parse_il(text)) for text in texts) / len(texts)
    assert share > 0.6, share
    assert sum(machine(text, dict.fromkeys(NAMES, 1)) is not None for text in texts) > 400


@settings(max_examples=100)
@given(st.randoms(use_true_random=False))
def test_they_print_and_read_back(random: Random) -> None:
    statements = parse_il(program(random, False))
    assert parse_statements(statement_printer.statements(statements), dialect=True) == statements


PAIRS = {
    "LD a / OR b / ANDN c / ST q": "q := (a OR b) AND NOT c;",
    "LD a / ADD b / MUL( c / SUB d / ) / ST q": "q := (a + b) * (c - d);",
    "LD a / GT 5 / S q / LD b / LT 3 / R q": "q S= a > 5; q R= b < 3;",
    "CAL t(IN := a, PT := T#5s, Q => b) / LD t.ET / GE T#1s / ST q": "t(IN := a, PT := T#5s, Q => b); q := t.ET >= T#1s;",
    "LD a / LIMIT 0, 10 / ST q": "q := LIMIT(a, 0, 10);",
    "LDN a / ST q / LD b / STN r": "q := NOT a; r := NOT b;",
    "LD i / ADD 1 / ST i / LD x[i] / ST q": "i := i + 1; q := x[i];",
}


@pytest.mark.parametrize("text", PAIRS)
def test_the_same_statements_as_structured_text(text: str) -> None:
    assert parse_il(text.replace(" / ", "\n")) == parse_statements(PAIRS[text])
