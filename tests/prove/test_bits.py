"""Random expressions over one BYTE against all of its 256 values."""

from __future__ import annotations

from random import Random

from hypothesis import Phase, given, settings
from hypothesis import strategies as s

from compare import building as b

from .proving import prove_equal

TURNS = {
    "SHL": lambda v, n: v << n & 255,
    "SHR": lambda v, n: v >> n,
    "ROL": lambda v, n: (v << n | v >> (8 - n)) & 255,
    "ROR": lambda v, n: (v >> n | v << (8 - n)) & 255,
}


def written(r: Random, depth: int) -> tuple[str, list[int]]:
    """Text of an expression over ``v``, and its value for every ``v``."""
    if depth == 0 or r.random() < 0.2:
        constant = r.choice((0, 1, 15, 128, 255))
        return ("v", list(range(256))) if r.random() < 0.7 else (f"16#{constant:X}", [constant] * 256)
    left, values = written(r, depth - 1)
    kind = r.randrange(6)
    if kind == 0:
        return f"(NOT {left})", [x ^ 255 for x in values]
    if kind < 3:
        name, count = r.choice(sorted(TURNS)), r.randrange(8)
        return f"{name}(BYTE#1 AND v OR {left}, {count})", [TURNS[name](v & 1 | x, count) for v, x in enumerate(values)]
    right, others = written(r, depth - 1)
    operator = r.choice(("AND", "OR", "XOR"))
    turn = {"AND": int.__and__, "OR": int.__or__, "XOR": int.__xor__}[operator]
    return f"({left} {operator} {right})", [turn(x, y) for x, y in zip(values, others, strict=True)]


def respelled(text: str, values: list[int], r: Random) -> tuple[str, list[int]]:
    """The same value in other words, or nearly."""
    match r.randrange(4):
        case 0:
            return f"(NOT (NOT {text}))", values
        case 1:
            return f"ROL(ROR(v XOR v OR {text}, 3), 3)", values
        case 2:
            return f"(({text}) XOR 16#FF XOR 255)", values
    return f"({text} AND 16#FE)", [x & 254 for x in values]


@given(s.integers(0, 2**32))
@settings(max_examples=60, phases=(Phase.reuse, Phase.generate))
def test_bits_agree_with_the_table(seed: int) -> None:
    r = Random(seed)
    old, before = written(r, 3)
    new, after = respelled(old, before, r) if r.random() < 0.7 else written(r, 3)
    proof = prove_equal(b.e(old), b.e(new), {"v": "BYTE"}, type="BYTE")
    assert proof.status == ("equal" if before == after else "different"), (old, new)
    if proof.witness is not None:
        v = int(proof.witness.inputs.get("v", "0"))
        assert (proof.witness.old["result"], proof.witness.new["result"]) == (str(before[v]), str(after[v]))
