"""Two tag tables of 50,000 tags, read and compared. Not a test: ``python tests/benchmarks/tag_tables.py [COUNT]``.

Prints seconds of the clock and of the processor for reading both and for comparing them. The aim is under 5 s in all.
"""

from __future__ import annotations

import sys
import time
from itertools import pairwise

from asfound.compare.comparison import compare
from asfound.readers.reading import read


def table(count: int, changed: bool) -> bytes:
    """A tag table; the changed one has every thousandth tag at another address and every fiftieth comment edited."""
    lines = ["Name;Address;Type;Comment"]
    for n in range(count):
        byte = n // 8 + (9000 if changed and n % 1000 == 7 else 0)
        remark = " checked" if changed and n % 50 == 3 else ""
        lines.append(f"Tag_{n:05d};E {byte}.{n % 8};BOOL;terminal {n}{remark}")
    return "\n".join(lines).encode()


def main(count: int) -> None:
    """Measure once, in this process."""
    data = table(count, False), table(count, True)
    marks = [(time.perf_counter(), time.process_time())]
    copies = [read(each, "tags.csv") for each in data]
    marks.append((time.perf_counter(), time.process_time()))
    found = compare(*copies)
    marks.append((time.perf_counter(), time.process_time()))
    for word, (first, last) in zip(("read", "compare"), pairwise(marks), strict=False):
        print(f"{word:8} {last[0] - first[0]:6.2f} s, processor {last[1] - first[1]:6.2f} s")
    print(f"{'all':8} {marks[-1][0] - marks[0][0]:6.2f} s, processor {marks[-1][1] - marks[0][1]:6.2f} s")
    print(f"{count} tags, {len(found.changes)} changes, verdict {found.verdict}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 50_000)
