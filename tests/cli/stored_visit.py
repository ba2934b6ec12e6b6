"""Names that the tests of the commands share."""

from __future__ import annotations

from collections.abc import Callable

from typer.testing import Result

FIRST = b"PROGRAM Main\nVAR\n  a : BOOL;\n  b : BOOL;\nEND_VAR\na := b;\nEND_PROGRAM\n"
SECOND = FIRST.replace(b"a := b;", b"a := NOT b;")
Run = Callable[..., Result]
