"""What can differ: charts."""

from __future__ import annotations

from asfound.model.program import (
    Association,
    Step,
)

from .. import building as b
from .logic_kit import (
    CODE,
    OTHER,
    Row,
    action,
    chart,
    step,
    way,
    ways,
)

CHARTS: dict[str, Row] = {
    "steps come and go": (
        chart(Step("A", initial=True), Step("B", actions=(Association("x"), Association("", body=CODE)))),
        chart(Step("A", initial=True), Step("C")),
        (
            "behaviour removed P / step B | step B removed, with its actions x, an inline action",
            "behaviour added P / step C | step C added",
        ),
    ),
    "kinds of a step": (
        step(initial=True),
        step(macro=True),
        (
            "behaviour changed P / step Fill | step Fill is no longer the initial step (and 1 more) | step Fill is now a macro step",
        ),
    ),
    "kinds of a step the other way": (
        step(macro=True),
        step(initial=True),
        (
            "behaviour changed P / step Fill | step Fill is now the initial step (and 1 more) | step Fill is no longer a macro step",
        ),
    ),
    "spelling of a step": (
        step("Fill"),
        step("FILL"),
        ("documentation changed P / step FILL | only the spelling of the name differs",),
    ),
    "comment of a step": (
        step(comment="one"),
        step(comment="two"),
        ("documentation changed P / step Fill | comment: one -> two",),
    ),
    "body of a macro step": (
        step(macro=True, body=CODE),
        step(macro=True, body=OTHER),
        ("behaviour changed P / step Fill / statement 1 | x: 1 -> 2",),
    ),
    "body of a macro step comes": (
        step(macro=True),
        step(macro=True, body=OTHER),
        ("behaviour changed P / step Fill | body of the macro step added",),
    ),
    "steps in another order": (
        chart(Step("A"), Step("B")),
        chart(Step("B"), Step("A")),
        ("documentation changed P | steps or transitions listed in another order",),
    ),
    "an action": (
        action("x", "L", "T#5s", "i", "one"),
        action("x", "D", "T#6s", "j", "two"),
        (
            "documentation changed P / step Fill / action x | comment: one -> two",
            "behaviour changed P / step Fill / action x | qualifier of action x in step Fill: L -> D (and 2 more) | time of action x in step Fill: T#5s -> T#6s | indicator: i -> j",
        ),
    ),
    "another action": (
        action("x", "S"),
        action("y", "S"),
        ("behaviour changed P / step Fill / action y | action x replaced by y in step Fill",),
    ),
    "an entry action": (
        action("x", "entry"),
        action("y", "exit"),
        (
            "behaviour removed P / step Fill / entry action x | entry action x removed from step Fill",
            "behaviour added P / step Fill / exit action y | exit action y added to step Fill",
        ),
    ),
    "an action in other letters": (
        action("x", "L", "T#1s"),
        action("X", "L", "T#1000ms"),
        ("documentation changed P / step Fill / action X | only the spelling differs",),
    ),
    "inline code of an action": (
        action("", body=CODE),
        action("", body=OTHER),
        ("behaviour changed P / step Fill / action (inline) / statement 1 | x: 1 -> 2",),
    ),
    "inline code comes": (
        action("x"),
        action("x", body=CODE),
        ("behaviour changed P / step Fill / action x | inline code of step Fill added",),
    ),
    "inline code goes": (
        action("x", body=CODE),
        action("x"),
        ("behaviour changed P / step Fill / action x | inline code of step Fill removed",),
    ),
    "actions come and go": (
        step(actions=(Association("a"), Association("c", "S"))),
        step(actions=(Association("a"), Association("d", "L", "T#5s"), Association("e", "entry"))),
        (
            "behaviour removed P / step Fill / action c | action c removed from step Fill with qualifier S",
            "behaviour added P / step Fill / action d | action d added to step Fill with qualifier L T#5s",
            "behaviour added P / step Fill / entry action e | entry action e added to step Fill",
        ),
    ),
    "actions in another order": (
        step(actions=(Association("a"), Association("c"))),
        step(actions=(Association("c"), Association("a"))),
        ("undecided moved P / step Fill | actions of step Fill are listed in another order | a, c -> c, a",),
    ),
    "transitions come and go": (
        ways(way("A>B", "a", statements=b.st("x := 1;"))),
        ways(way("C>D", "c", statements=b.st("x := 2;"))),
        (
            "behaviour removed P / transition A -> B | transition A -> B removed: a | x := 1;",
            "behaviour added P / transition C -> D | transition C -> D added: c | x := 2;",
        ),
    ),
    "a transition leads elsewhere": (
        ways(way("A>B", "a")),
        ways(way("A>C", "a")),
        ("behaviour changed P / transition A -> C | transition from A now leads to C (was B)",),
    ),
    "a transition leaves another step": (
        ways(way("A>B", "a")),
        ways(way("C>B", "a")),
        ("behaviour changed P / transition C -> B | transition to B now leaves C (was A)",),
    ),
    "a transition": (
        ways(way("A>B", "a AND c", name="one", priority=1, comment="two", statements=b.st("x := 1;"))),
        ways(way("A>B", "a AND d", name="three", priority=2, comment="four", statements=b.st("x := 2;"))),
        (
            "behaviour changed P / transition A -> B | priority 1 -> 2",
            "behaviour changed P / transition A -> B | condition: operand c replaced by d",
            "documentation changed P / transition A -> B | 2 comments changed | name: one -> three | comment: two -> four",
            "behaviour changed P / transition A -> B / statement 1 | x: 1 -> 2",
        ),
    ),
    "a priority comes": (
        ways(way("A>B", "a")),
        ways(way("A>B", "a", priority=2)),
        ("behaviour changed P / transition A -> B | priority none -> 2",),
    ),
    "two transitions between the same steps": (
        ways(way("A>B", "a AND c AND d"), way("A>B", "e AND f AND g")),
        ways(way("A>B", "e AND f AND h"), way("A>B", "a AND c AND k")),
        (
            "behaviour moved P / step A | alternatives leaving step A are tried in another order | now tried: A -> B: e AND f AND h | now tried: A -> B: a AND c AND k",
            "behaviour changed P / transition A -> B | condition: operand d replaced by k",
            "behaviour changed P / transition A -> B | condition: operand g replaced by h",
        ),
    ),
    "joined steps in another order": (
        ways(way("A,B>C", "a")),
        ways(way("B,A>C", "a")),
        ("documentation changed P / transition B, A -> C | the joined steps are listed in another order or spelling",),
    ),
    "alternatives in another order": (
        ways(way("A>B", "a"), way("A>C", "c"), way("B>D", "d")),
        ways(way("A>C", "c"), way("A>B", "a"), way("B>D", "d")),
        (
            "behaviour moved P / step A | alternatives leaving step A are tried in another order | now tried: A -> C: c | now tried: A -> B: a",
        ),
    ),
    "comments of a chart": (
        chart(Step("A"), comments=("one",), leftovers=("a wire", "a step")),
        chart(Step("A"), comments=("two",), leftovers=("a jump",)),
        (
            "documentation changed P | 3 comments changed | element without effect removed: a wire | element without effect removed: a step | element without effect added: a jump",
            "documentation changed P | comment: one -> two",
        ),
    ),
    "drawn in a chart without effect": (
        chart(Step("A"), leftovers=("a wire",)),
        chart(Step("A"), leftovers=("a jump",)),
        ("documentation changed P | element without effect: a wire -> a jump",),
    ),
}
