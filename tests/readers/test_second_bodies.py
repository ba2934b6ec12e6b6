"""What is kept of a second body is exact, so that no two of them are one text; a report says it as people write it."""

from __future__ import annotations

from pathlib import Path

import asfound

PAIR = Path(__file__).parents[1] / "pairs" / "second_body_of_an_action" / "new.xml"
RUNG = """<LD><leftPowerRail localId="1"><position x="0" y="0"/><connectionPointOut formalParameter=""/></leftPowerRail>
<contact localId="2"><position x="20" y="0"/><connectionPointIn><connection refLocalId="1"/></connectionPointIn>
<connectionPointOut/><variable>{}</variable></contact>
<coil localId="3"><position x="40" y="0"/><connectionPointIn><connection refLocalId="2"/></connectionPointIn>
<connectionPointOut/><variable>x</variable></coil></LD>"""


def test_a_name_with_a_blank_is_exact_in_the_copy_and_plain_in_a_report() -> None:
    text = PAIR.read_text(encoding="utf-8")
    begin = text.rindex("<ST>", 0, text.index("NOT a"))
    end = text.index("</ST>", begin) + len("</ST>")
    old, new = (
        asfound.read((text[:begin] + RUNG.format(name) + text[end:]).encode(), "p.xml") for name in ("Pump 1", "Pump 2")
    )
    (kept,) = old.program.pous[0].actions[0].extensions
    assert '{text "Pump 1"}' in kept.text
    (found,) = asfound.compare(old, new).changes
    assert found.before == "(* ladder diagram *)\n(* network *)\n  x := Pump 1;"
    assert found.after == "(* ladder diagram *)\n(* network *)\n  x := Pump 2;"
