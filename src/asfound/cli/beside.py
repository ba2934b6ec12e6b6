"""The profiles that lie beside one file, as they would count if the folder had been named."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from asfound.readers.single_files import Files


def profiles_beside(path: Path, data: bytes) -> Files:
    """``(name, bytes)`` of the profiles in the folder of a file that are meant for it.

    Raises Problem when such a profile cannot be read or holds a mistake.
    """
    from asfound.readers.reader import Probe
    from asfound.readers.reading import content
    from asfound.readers.tables import profiled
    from asfound.readers.tables.profile import is_profile, parse
    from asfound.readers.tables.profiles import looks_like_table

    if not looks_like_table(data, path.name):
        return []
    found = []
    for file in sorted(path.parent.glob("*.toml")):
        if file == path or file.name.startswith(".") or not file.is_file():
            continue
        text = content(file)
        if is_profile(Probe(text, file.name)) and profiled.fits(data, path.name, parse(text, file.name)):
            found.append((file.name, text))
    return found
