"""``PYTHONPATH=tests python -m answers``: writes the answers anew. Read what git says of them before you keep them."""

from __future__ import annotations

import asfound

from .facts import KEPT, facts
from .pairs import PAIRS


def main() -> None:
    texts: dict[str, list[str]] = {}
    for (file, id), pair in PAIRS.items():
        texts.setdefault(file, []).append(f"== {id}\n{facts(asfound.compare(*pair()))}\n")
    KEPT.mkdir(exist_ok=True)
    for old in KEPT.glob("*.txt"):
        old.unlink()
    for file, blocks in texts.items():
        (KEPT / f"{file}.txt").write_text("\n".join(blocks), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
