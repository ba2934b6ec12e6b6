"""What a person states of a station: read, added to with everything else kept, refused with one sentence."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as some

from asfound.archive.stated import stated, stating, wrong_name
from asfound.model.problem import Problem
from asfound.model.station import BringsBack, Equipment

BASE = b'schema = "asfound/station/1"\nname = "a"\n'
NAMES = some.text(some.characters(blacklist_categories=("Cs", "Cc")), min_size=1, max_size=12).filter(
    lambda name: not wrong_name(name)
)


@given(some.dictionaries(NAMES, some.sampled_from(["fault", "running", "other"]), max_size=4))
def test_whatever_is_printed_on_the_device_comes_back(names: dict[str, str]) -> None:
    data = stating(BASE + b"# ours\n", {"indicators": names}, "station.toml")
    assert stated(data, "station.toml").indicators == names
    assert data.startswith(BASE) and b"# ours" in data


def test_what_brings_the_program_back_is_added_to_and_names_are_stated_anew() -> None:
    data = stating(BASE, {"brings_back": {"reset": "card"}, "switch": {"ON": "run"}}, "s")
    data = stating(data, {"brings_back": {"restart": "built-in", "source": "manual"}, "switch": {}}, "s")
    assert stated(data, "s").equipment == Equipment(None, {}, BringsBack("card", "built-in", "", "manual"))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('[indicators]\nA = "red"\n', "s: cannot be understood (Invalid enum value 'red' - at `$.indicators[...]`); "),
        ('[switch]\nA = 1\n', "s: cannot be understood (Expected `str`, got `int` - at `$.switch[...]`); write \"POSITION\""),
        ('[indicators]\n"" = "fault"\n', "s: [indicators] names '', which is no name; write"),
        ('[indicators]\nRest = "fault"\n', "s: [indicators] names 'Rest', which is a word of the commands; write"),
        (f'[switch]\n{"x" * 61} = "run"\n', f"s: [switch] names '{'x' * 60}', which is longer than 60 characters"),
        ('[switch]\nA = "none"\n', "s: cannot be understood (Invalid enum value 'none' - at `$.switch[...]`)"),
        ('[lacks]\nwheels = true\n', "s: cannot be understood (Object contains unknown field `wheels` - at `$.lacks`); write card"),
        ('[brings_back]\nreset = "disk"\n', "s: cannot be understood (Invalid enum value 'disk' - at `$.brings_back"),
        ('[brings_back]\nstart = "card"\n', "s: cannot be understood (Object contains unknown field `start`"),
    ],
)  # fmt: skip
def test_what_cannot_be_meant_is_refused(text: str, said: str) -> None:
    with pytest.raises(Problem) as caught:
        stated(BASE + text.encode(), "s")
    assert str(caught.value).startswith(said)


@pytest.mark.parametrize(
    "text", [b"[[", b"\xff", b"[indicators]\n[indicators]\n", b"brings_back = 3\n", b"[brings_back]\nreset = 4\n"]
)
def test_a_document_that_cannot_be_understood_is_not_written_to(text: bytes) -> None:
    with pytest.raises(Problem, match=r"s: (is|cannot)"):
        stating(text, {"switch": {}}, "s")
