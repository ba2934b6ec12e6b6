"""By hand: a table of what is wrong. ``PYTHONPATH=tests python -m adversary.table [WORD] > FOUND.txt``"""

from __future__ import annotations

import os
import sys
from collections import Counter

os.environ["ASFOUND_CACHE"] = "off"

import asfound

from .cases import ALL
from .judging import first_difference
from .told import HARMLESS, OPEN, replayed


def main(word: str) -> None:
    tally: Counter[str] = Counter()
    for case in ALL.values():
        if word not in case.id:
            continue
        old, new = (asfound.read(t.encode(), "p.st") for t in (case.old, case.new))
        found = asfound.compare(old, new)
        tally[found.verdict] += 1
        difference = None
        if found.verdict in HARMLESS or case.differs:
            difference = first_difference(old, new, (case.old, case.new))
            if case.differs is not None and (difference is not None) != case.differs:
                say("JUDGE", case.id, found.verdict, f"expected differs={case.differs}: {difference}")
        if found.verdict in HARMLESS and (difference is not None or case.differs):
            tally["WRONG EQUIVALENT"] += 1
            say("WRONG EQUIVALENT", case.id, found.verdict, str(difference))
        if found.verdict == "behaviour" and case.differs is False:
            tally["behaviour though none was found"] += 1
            say(
                "behaviour?",
                case.id,
                found.verdict,
                "; ".join(f"{c.effect}: {c.where}: {c.summary}" for c in found.changes)[:200],
            )
        if found.verdict == "undecided":
            tally[f"undecided, differs={case.differs}"] += 1
        for change in found.changes:
            if change.witness is None:
                continue
            said = replayed(change, old, new, (case.old, case.new))
            kind = "case runs" if not said else "case open" if OPEN in said else "IMPOSSIBLE CASE"
            tally[kind] += 1
            if said:
                w = change.witness
                say(
                    kind,
                    case.id,
                    change.where,
                    f"{w.inputs} {w.assumed or ''} -> {dict(w.old)} / {dict(w.new)}: {said[:160]}",
                )
    print(dict(sorted(tally.items())))


def say(kind: str, id: str, verdict: str, text: str) -> None:
    print(f"{kind} | {id} | {verdict} | {text}", flush=True)


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else "")
