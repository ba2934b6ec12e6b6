"""What is seen of a controller and stated of a station: free names with roles, and notes of earlier versions."""

from __future__ import annotations

import msgspec
import pytest

from asfound.model.panel import Indicator, Panel, known
from asfound.model.record import Record
from asfound.model.station import INTERRUPTIONS, KEEPERS, BringsBack, Equipment

EARLIER = b"""{"system_fault":"lit","bus_fault":"absent","force":"dark","run":"flashing","explanation":"fan",\
"switch":"memory reset","card":"256 kB","serials":[{"name":"CPU","value":"7"}]}"""


def test_a_note_of_an_earlier_version_is_read_and_written_as_it_was() -> None:
    """Its record and the statements about it keep their bytes and their lines."""
    panel = msgspec.json.decode(EARLIER, type=Panel)
    assert msgspec.json.encode(panel) == EARLIER
    assert panel.lines() == (
        "system fault: lit", "bus fault: absent", "force: dark", "run: flashing", "explanation: fan",
        "switch: memory reset", "card: 256 kB", "serial number of CPU: 7",
    )  # fmt: skip
    assert [(each.name, each.role, each.state) for each in panel.seen()] == [
        ("system fault", "fault", "lit"), ("force", "forced", "dark"), ("run", "running", "flashing"),
    ]  # fmt: skip
    assert (panel.position(), panel.lacking()) == ("other", ("bus fault",))


@pytest.mark.parametrize(("was", "role"), [("run", "run"), ("stop", "stop"), ("absent", "none"), ("", "")])
def test_a_switch_of_an_earlier_note_has_its_role(was: str, role: str) -> None:
    assert Panel(switch=was).position() == role
    assert Panel(switch="AUTO", switch_role="run").position() == "run"


def test_a_new_note_holds_nothing_of_the_earlier_form() -> None:
    panel = Panel(indicators=(Indicator("ERR", "fault", "lit"),), switch="SERVICE", switch_role="program/remote")
    assert b"system_fault" not in msgspec.json.encode(panel)
    assert panel.lines() == ("indicator ERR (fault): lit", "switch: SERVICE (program/remote)")


def test_indicators_are_known_by_what_is_stated_else_by_the_notes() -> None:
    notes = (Panel(run="lit", supply="lit"), Panel(supply="absent", indicators=(Indicator("ERR", "other", "dark"),)))
    assert known(Equipment(), notes) == {"run": "running", "ERR": "other"}
    assert known(Equipment(), ()) is None
    assert known(Equipment(indicators={}), notes) == {}, "an empty table says that there are none"
    assert known(Equipment(indicators={"A": "fault"}), notes) == {"A": "fault"}


def test_every_place_after_every_operation_is_told() -> None:
    for operation in INTERRUPTIONS:
        for place in KEEPERS:
            said = BringsBack(**{operation: place}).told()
            assert said.count("not known") == 2 and "according to: nobody named" in said
    assert BringsBack(source="manual").told() == "not known"


def test_a_name_of_several_lines_stays_on_one() -> None:
    assert Panel(indicators=(Indicator("A\nrun: lit", "other", "dark"),)).lines() == (
        "indicator A run: lit (other): dark",
    )


def test_a_record_of_before_is_a_record() -> None:
    fields = b'"schema":"asfound/record/1","station":"a","number":1,"moment":"routine","time":"t","person":"p"'
    data = b'{%s,"tool_version":"0.1.0","copies":[],"panel":%s}' % (fields, EARLIER)
    assert msgspec.json.encode(msgspec.json.decode(data, type=Record)) == data
