"""Instruction lists: executed symbolically on the accumulator."""

from __future__ import annotations

from asfound.model.logic import Statement, Verbatim


def looks_like_il(text: str) -> bool:
    """Whether a body is an instruction list rather than structured text."""
    return False


def parse_il(text: str) -> tuple[Statement, ...]:
    """Statements of an instruction list."""
    return (Verbatim(text.strip()),)
