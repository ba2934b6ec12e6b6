"""What can differ: tasks."""

from __future__ import annotations

from asfound.model.copy import Copy
from asfound.model.program import (
    Instance,
    Library,
    Program,
    Resource,
    Task,
)

from .parts_kit import (
    Row,
    heading,
    instance,
    libraries,
    named,
    resource,
    task,
)

TASKS: dict[str, Row] = {
    "a resource": (
        resource(type="A", comment="first"),
        resource("Cpu", "Other", type="B", comment="second"),
        (
            "equivalent renamed configuration Other | configuration Plant renamed to Other",
            "behaviour changed resource Cpu | resource Cpu: type A -> B (and 2 more) | comment first -> second | spelling of the name: CPU -> Cpu",
        ),
    ),
    "a resource goes to another configuration": (
        Copy(program=Program(resources=(Resource("A", "North"), Resource("B", "South")))),
        Copy(program=Program(resources=(Resource("A", "North"), Resource("B", "North")))),
        ("documentation changed resource B | resource B: configuration South -> North",),
    ),
    "a resource in other letters": (
        resource(type="a"),
        resource(type="A"),
        ("documentation changed resource CPU | resource CPU: type a -> A",),
    ),
    "resources come and go": (
        Copy(
            program=Program(
                resources=(Resource("A", "P", tasks=(Task("T", "P/A"),)), Resource("B", "P", tasks=(Task("U", "P/B"),)))
            )
        ),
        Copy(program=Program(resources=(Resource("C", "P", tasks=(Task("W", "P/C"),)),))),
        (
            "behaviour removed resource A | resource A removed",
            "behaviour removed resource B | resource B removed",
            "behaviour added resource C | resource C added",
        ),
    ),
    "a task": (
        task(
            interval="T#10ms", priority="1", single="go", kind="cyclic", comment="first", settings=named("Watchdog=1s")
        ),
        task(
            "FAST",
            "Plant/Other",
            interval="T#20ms",
            priority="2",
            single="start",
            kind="event",
            comment="second",
            settings=named("Watchdog=2s"),
        ),
        (
            "behaviour changed resource CPU / task FAST | task FAST: interval T#10ms -> T#20ms (and 7 more) | priority 1 -> 2 | triggered by go -> start | kind cyclic -> event | scope Plant/CPU -> Plant/Other | setting Watchdog: 1s -> 2s | comment first -> second | spelling of the name: Fast -> FAST",
        ),
    ),
    "a task in other letters": (
        task(interval="T#10ms", priority="low", single="go", kind="cyclic"),
        task(interval="t#0.01s", priority="LOW", single="GO", kind="CYCLIC"),
        (
            "documentation changed resource CPU / task Fast | task Fast: interval T#10ms -> t#0.01s (and 3 more) | priority low -> LOW | triggered by go -> GO | kind cyclic -> CYCLIC",
        ),
    ),
    "settings of a task in another order": (
        task(settings=named("A=1", "B=2")),
        task(settings=named("B=2", "A=1")),
        ("documentation changed resource CPU / task Fast | task Fast: settings listed in another order",),
    ),
    "tasks come and go": (
        resource(tasks=(Task("A", "P", "1", "T#10ms"), Task("B", "P", "2", single="go"), Task("C", "P", "3"))),
        resource(tasks=(Task("D", "P", "4", "T#7ms"),)),
        (
            "behaviour removed resource CPU / task A | task A removed (every T#10ms, priority 1)",
            "behaviour removed resource CPU / task B | task B removed (on go, priority 2)",
            "behaviour removed resource CPU / task C | task C removed (neither interval nor event, priority 3)",
            "behaviour added resource CPU / task D | task D added (every T#7ms, priority 4)",
        ),
    ),
    "tasks in another order": (
        resource(tasks=(Task("A", "P"), Task("B", "P"))),
        resource(tasks=(Task("B", "P"), Task("A", "P"))),
        ("documentation moved resource CPU | tasks or programs listed in another order",),
    ),
    "programs in another order": (
        resource(instances=(Instance("A", "X"), Instance("B", "Y"))),
        resource(instances=(Instance("B", "Y"), Instance("A", "X"))),
        ("undecided moved resource CPU | tasks or programs listed in another order",),
    ),
    "a program in a task": (
        instance("Main", "Pump", "Fast", "first"),
        instance("MAIN", "Fan", "Slow", "second"),
        (
            "behaviour changed resource CPU / program MAIN | program MAIN: task Fast -> Slow (and 3 more) | type Pump -> Fan | comment first -> second | spelling of the name: Main -> MAIN",
        ),
    ),
    "a program in a task in other letters": (
        instance("Main", "Pump", "Fast"),
        instance("Main", "PUMP", "FAST"),
        (
            "documentation changed resource CPU / program Main | program Main: task Fast -> FAST (and 1 more) | type Pump -> PUMP",
        ),
    ),
    "programs come and go": (
        resource(instances=(Instance("A", "Pump", "Fast"), Instance("B", "Fan"))),
        resource(instances=(Instance("C", "", "Slow"),)),
        (
            "behaviour removed resource CPU / program A | program A : Pump removed (in task Fast)",
            "behaviour removed resource CPU / program B | program B : Fan removed (without a task)",
            "behaviour added resource CPU / program C | program C : unknown type added (in task Slow)",
        ),
    ),
    "a library": (
        libraries(Library("Util", "1", named("Path=a"))),
        libraries(Library("Util", "2", named("Path=b"))),
        (
            "undecided changed library Util | library Util: version 1 -> 2 (and 1 more) | setting Path: a -> b | the code of a library is not part of an export, so what it does differently is unknown",
        ),
    ),
    "a library written in another way": (
        libraries(Library("Util", "1")),
        libraries(Library("UTIL", "1")),
        ("documentation changed library UTIL | library UTIL: written in another way",),
    ),
    "libraries come and go": (
        libraries(Library("Util", "1")),
        libraries(Library("Tool")),
        (
            "undecided added library Tool | library Tool added | the code of a library is not part of an export",
            "undecided removed library Util | library Util 1 removed | the code of a library is not part of an export",
        ),
    ),
    "title block": (
        heading(
            name="a",
            version="1",
            author="b",
            organization="c",
            language="d",
            comment="e",
            tool="f",
            settings=named("Order=1"),
        ),
        heading(
            name="A",
            version="2",
            author="B",
            organization="C",
            language="D",
            comment="E",
            tool="F",
            settings=named("Order=2"),
        ),
        (
            "documentation changed project | project: name a -> A (and 7 more) | version 1 -> 2 | author b -> B | organization c -> C | language d -> D | comment e -> E | tool f -> F | setting Order: 1 -> 2",
        ),
    ),
    "title block in another order": (
        heading(settings=named("A=1", "B=2")),
        heading(settings=named("B=2", "A=1")),
        ("documentation changed project | project: settings listed in another order",),
    ),
}
