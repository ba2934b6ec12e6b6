"""stub"""

from dataclasses import dataclass

from asfound.compare.result import Change
from asfound.model.copy import Copy


@dataclass(frozen=True)
class Renaming:
    copy: Copy
    changes: tuple[Change, ...] = ()


def renaming(old: Copy, new: Copy) -> Renaming:
    return Renaming(old)
