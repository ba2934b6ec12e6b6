"""Every mutation of every node, of large files too: ``python tests/readers/exhaustive.py [--converted] FILE ...``.

Reads TC6 and IEC 61131-10; with ``--converted`` each TC6 file is written as IEC 61131-10 first (see conversion.py).
A file is cut into pieces that the reader treats alike: the document without its POUs, each POU without its actions,
each action. A piece that was seen before (the stages of one plant share most of them) is tried once. Prints what was
tried and every miss; exit 1 when there is one.
"""

from __future__ import annotations

import hashlib
import sys
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from conversion import to_61131_10
from exchange import format_of
from lxml import etree
from mutations import mutations

from asfound.language.normal import normal_sha256
from asfound.model.problem import Problem
from asfound.readers.reading import read


def digest(data: bytes) -> str:
    try:
        return normal_sha256(read(data, "piece.xml"))
    except Problem as problem:
        return f"refused: {problem}"


def pieces(data: bytes) -> Iterator[tuple[str, bytes]]:
    """(what, document) of each piece of a document."""
    root = etree.fromstring(data, etree.XMLParser(remove_comments=True, remove_pis=True, remove_blank_text=True))
    return format_of(root).cut(root)


def misses(piece: tuple[str, bytes]) -> tuple[int, list[str]]:
    """How many mutations were tried that must be seen, and those that were not."""
    what, data = piece
    before = digest(data)
    assert not before.startswith("refused"), f"{what}: {before}"
    tried, missed = 0, []
    for mutation in mutations(data):
        if not mutation.noise:
            tried += 1
            if digest(mutation.apply()) == before:
                missed.append(f"{what}: {mutation.path}: {mutation.what}")
    return tried, missed


def main(arguments: list[str]) -> int:
    files = [each for each in arguments if each != "--converted"]
    distinct: dict[str, tuple[str, bytes]] = {}
    for file in files:
        whole = Path(file).read_bytes()
        for what, data in pieces(to_61131_10(whole) if "--converted" in arguments else whole):
            distinct.setdefault(hashlib.sha256(data).hexdigest(), (f"{Path(file).name} {what}", data))
    tried, missed = 0, []
    with ProcessPoolExecutor() as pool:
        for count, found in pool.map(misses, distinct.values()):
            tried += count
            missed += found
    print(f"{len(files)} files, {len(distinct)} distinct pieces, {tried} mutations to be seen, {len(missed)} missed")
    print("\n".join(missed))
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
