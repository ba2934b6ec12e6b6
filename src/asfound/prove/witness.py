"""A case in which two programs end differently: the answer to a question that has one."""

from __future__ import annotations

from typing import Literal as Choice

import msgspec

from asfound.model.logic import Node


class Witness(Node, frozen=True):
    """Inputs for which old and new act differently, and what each does then.

    Each ``{name of a variable: value}``, the value as an IEC 61131-3 literal (``TRUE``, ``16#FF``, ``T#5s``).
    ``inputs`` hold the state before the cycle as well as inputs. ``assumed`` are values of what nobody can work out
    here (a function that is not in the export, a conversion), by its text: the case needs them. ``moment`` says what
    the case is about: one whole ``cycle`` of the body, or values as they are just before the one ``statement``, of
    which it is not known whether a cycle can bring them about.
    """

    inputs: dict[str, str]
    old: dict[str, str]
    new: dict[str, str]
    assumed: dict[str, str] = msgspec.field(default_factory=dict)
    moment: Choice["cycle", "statement"] = "cycle"
