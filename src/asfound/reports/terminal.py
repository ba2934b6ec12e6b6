"""The comparison for somebody at a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from asfound.compare.result import Comparison

if TYPE_CHECKING:
    from rich.console import Console


def write(comparison: Comparison, console: Console, *, quiet: bool = False) -> None:
    """Print ``comparison``; ``quiet`` prints the verdict and the counts only."""
    console.print(f"{comparison.verdict}: {len(comparison.changes)} changes", markup=False)
