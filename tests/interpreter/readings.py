"""What the standard leaves open or makers do differently. What acts the same must do so under every reading."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Readings:
    """``complete``: AND and OR evaluate all operands (else they stop when the result is known).

    ``right_first``: of two operands, and of arguments, the last is evaluated first (but for AND and OR that stop early).
    ``wide``: bits of a calculation that is not stored, at least; 0: the width of its operands. With 64 a REAL is
    calculated in double precision.
    ``stops``: a division by zero, an index or subrange left, a MUX beyond its inputs stop the cycle; else the division
    gives 0, the index reads 0 and writes nowhere, the subrange is not looked at.
    ``goes_on``: a stopped cycle ends where it stopped and the next one runs; else the controller stands still.
    ``lazy``: SEL and MUX evaluate only the input they take.
    ``past``: after a FOR to its end the variable is one step past the last value.
    ``each_turn``: the end of a FOR is evaluated before each turn (else once).
    ``one_by_one``: an input of a block is written before the next is evaluated (else all are evaluated first).
    ``modulo``: a shift by more than the width shifts by the rest (else nothing of the bits is left).
    ``saturates``: a REAL beyond the range of an integer becomes its end (else it wraps).
    """

    name: str = "usual"
    complete: bool = False
    right_first: bool = False
    wide: int = 0
    stops: bool = True
    goes_on: bool = False
    lazy: bool = False
    past: bool = True
    each_turn: bool = True
    one_by_one: bool = True
    modulo: bool = False
    saturates: bool = False


USUAL = Readings()
ALL = (
    USUAL,
    Readings("complete", complete=True, past=False, each_turn=False, one_by_one=False),
    Readings("complete, right first", complete=True, right_first=True, stops=False, modulo=True, saturates=True),
    Readings("wide as 32 bits", wide=32, right_first=True, each_turn=False),
    Readings("wide as 64 bits, lazy", wide=64, stops=False, lazy=True, one_by_one=False),
)
"""Most choices in both ways, most pairs of them together; all of them would be 1,536.

Not among them: a controller that ends a cycle at a division by zero and begins the next one (``goes_on``). There
everything that runs before such a division differs from what runs after it, and no two statements could change places.
"""
