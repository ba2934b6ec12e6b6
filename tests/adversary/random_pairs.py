"""Random small programs and random edits of them, some that keep what they do and some that do not.

By hand: ``python tests/adversary/random_pairs.py 2000 --seed N [--from K] [--quiet]`` prints each wrong equivalence and
each case that cannot occur, with its number, and tallies. ``--show K`` prints pair K of a seed. A pair is a function of
the seed and its number alone.
"""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections import Counter
from pathlib import Path
from random import Random

if __name__ == "__main__":
    os.environ["ASFOUND_CACHE"] = "off"
    sys.path.insert(0, str(Path(__file__).parent.parent))

import asfound
from adversary.case import Case, program
from adversary.edits import edited
from adversary.judging import first_difference
from adversary.told import HARMLESS, OPEN, replayed
from adversary.writing import BEFORE, OWN, Writer


def random_pair(seed: int, number: int) -> Case:
    """Pair ``number`` of a seed; whether it differs is not known beforehand."""
    random = Random(f"{seed}/{number}")
    writer = Writer(random)
    old = writer.statements(random.randint(2, 5))
    kind, new = edited(old, writer, random)
    own = f"VAR {OWN} END_VAR\n"
    old_text, new_text = ("\n".join(s.text() for s in side) for side in (old, new))
    return Case(f"{seed}/{number} {kind}", program(old_text, own, BEFORE), program(new_text, own, BEFORE), None)


def judged(case: Case, runs: int) -> list[tuple[str, str]]:
    """What is wrong with what asfound says of a pair; (kind, words) each, and what it said first."""
    old, new = (asfound.read(text.encode(), "pair.st") for text in (case.old, case.new))
    found = asfound.compare(old, new)
    said = [("verdict", found.verdict)]
    if found.verdict != "behaviour":
        difference = first_difference(old, new, (case.old, case.new), runs=runs)
        if difference is not None:
            wrong = "WRONG EQUIVALENT" if found.verdict in HARMLESS else "undecided that differs"
            said.append((wrong, f"{found.verdict}: {difference}"))
    for change in found.changes:
        if change.witness is not None:
            problem = replayed(change, old, new, (case.old, case.new))
            kind = "case runs" if not problem else "case open" if OPEN in problem else "IMPOSSIBLE CASE"
            said.append((kind, f"{change.where}: {change.witness}: {problem}"))
    return said


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("count", type=int)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--from", dest="first", type=int, default=0)
    parser.add_argument("--runs", type=int, default=12)
    parser.add_argument("--quiet", action="store_true")
    parser.add_argument("--show", type=int)
    args = parser.parse_args()
    if args.show is not None:
        case = random_pair(args.seed, args.show)
        print(
            case.id, case.old.partition("CONFIGURATION")[0], "--- new", case.new.partition("CONFIGURATION")[0], sep="\n"
        )
        print(*judged(case, args.runs), sep="\n")
        return
    tally: Counter[str] = Counter()
    began = time.monotonic()
    for number in range(args.first, args.first + args.count):
        case = random_pair(args.seed, number)
        for kind, words in judged(case, args.runs):
            tally[words if kind == "verdict" else kind] += 1
            if kind.isupper() or (kind == "undecided that differs" and not args.quiet):
                print(f"{kind} | {case.id} | {words[:300]}", flush=True)
    print(dict(sorted(tally.items())), f"{time.monotonic() - began:.0f} s")


if __name__ == "__main__":
    main()
