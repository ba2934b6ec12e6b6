"""Fields of renames, of what follows from them, and of many small edits told as one."""

from __future__ import annotations

from asfound.compare.wording.fields import Field, headline, note

RENAMES: dict[str, Field] = {
    "renamed": headline("{of} {old} renamed to {new}", "equivalent"),
    "called otherwise": headline("{of} {old} is called {new} now", "documentation"),
    "seen outside": note("screens, other stations and recipes that use the name have to follow"),
    "retained value": note("the retained value goes with the name"),
    "unseen global": Field(
        "no export declares the variable it stands for, so that another name may be another variable",
        "undecided",
        note=True,
    ),
    "paths and values": note("access paths and retained values go with the name"),
    "comments": headline("{new} comments changed", "documentation"),
    "comment at": Field("{of}{inner}", "documentation"),
}
