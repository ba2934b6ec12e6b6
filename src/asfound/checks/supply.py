"""The budget of a supply: the current that the modules of a rack draw against what its supply is rated for.

Currents and the rating are read from the settings of the modules (a module list has columns for them:
readers.tables.columns); nothing is guessed from names. The margin of 20 % is common practice, without a source;
currents are typical values of the makers, not measured ones.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from decimal import Decimal

from asfound.analysis.overlaps import modules_of
from asfound.analysis.places import Place
from asfound.checks.findings import Finding, Severity, finding
from asfound.model.copy import Copy
from asfound.model.hardware import Device, Module
from asfound.readers.tables.columns import SYNONYMS, fold

MARGIN = Decimal("0.2")
PRACTICE = "a margin of 20 % is common practice, without a source"
_DRAWS = frozenset(SYNONYMS["current"].split(", "))
_RATED = frozenset((
    "rated current", "output current", "rated output current", "nennstrom", "ausgangsstrom", "courant nominal",
    "courant de sortie", "corriente nominal", "corriente de salida", "corrente nominale", "corrente di uscita",
))  # fmt: skip
_SUPPLY = re.compile(
    r"power\s*supply|netzteil|stromversorgung|alimentation|fuente de alimentaci|alimentatore", re.IGNORECASE
)
_AMPERES = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*([mM][aA]|A)\b")


def supply(copy: Copy) -> Iterator[Finding]:
    """The budget of every rack in which a module states a current."""
    for device in copy.hardware.devices:
        for title, modules in _racks(device):
            top = Place(f"device {device.name}", (f"device:{device.name}",))
            yield from _rack(top.down(title, f"module::{title}") if title else top, modules)


def _racks(device: Device) -> Iterator[tuple[str, list[Module]]]:
    """Every rack with all that is plugged in below it; modules without a rack go together."""
    loose: list[Module] = []
    for module in device.modules:
        if module.modules:
            below = [m for m, _, _ in modules_of(Device("", modules=module.modules))]
            yield module.name, [*([module] if draw(module) is not None else []), *below]
        else:
            loose.append(module)
    if loose:
        yield "", loose


def _rack(where: Place, modules: Sequence[Module]) -> Iterator[Finding]:
    supplies = [m for m in modules if _is_supply(m)]
    others = [m for m in modules if not _is_supply(m)]
    drawn = [(m, current) for m in others if (current := draw(m)) is not None]
    if not drawn:
        return
    total = sum((current for _, current in drawn), Decimal(0))
    silent = [m.name for m in others if draw(m) is None and (m.slot is not None and not m.built_in)]
    evidence = [f"{m.name}: {_amperes(current)}" for m, current in drawn]
    evidence += [f"{name}: states no current" for name in silent]
    at_least = "at least " if silent else ""
    ratings = [(m, rating) for m in supplies if (rating := rated(m)) is not None]
    if not ratings:
        text = f"the modules draw {at_least}{_amperes(total)}; what their supply is rated for is not known"
        yield finding("supply", "note", where, text, "a list of modules can say it (rated current)", evidence)
        return
    capacity = sum((rating for _, (rating, _) in ratings), Decimal(0))
    evidence += [f"{m.name}: gives {_amperes(rating)}, read from {source}" for m, (rating, source) in ratings]
    yield _judged(where, at_least, total, capacity, evidence)


def _judged(where: Place, at_least: str, total: Decimal, capacity: Decimal, evidence: Sequence[str]) -> Finding:
    margin = capacity - total
    severity: Severity = "error" if margin < 0 else "warning" if margin < capacity * MARGIN else "note"
    left = f"{_amperes(margin)} are left" if margin >= 0 else f"{_amperes(-margin)} are missing"
    share = round(100 * total / capacity) if capacity else 0
    text = f"the modules draw {at_least}{_amperes(total)} of {_amperes(capacity)} ({share} %), {left}"
    reason = {
        "error": "the supply is overloaded: it may limit or switch off",
        "warning": "little is left for one more module or a switching peak",
        "note": "the supply carries the modules",
    }[severity]
    return finding("supply", severity, where, text, f"{reason}; {PRACTICE}", evidence)


def _is_supply(module: Module) -> bool:
    words = (module.name, module.type_name, module.kind)
    return any(_SUPPLY.search(word) for word in words) or _setting(module, _RATED) is not None


def draw(module: Module) -> Decimal | None:
    """Amperes that a module states to draw; None when it does not, or without a unit."""
    found = _setting(module, _DRAWS)
    return found[0] if found else None


def rated(module: Module) -> tuple[Decimal, str] | None:
    """Amperes that a supply is rated for, and where that was read."""
    return _setting(module, _RATED)


def _setting(module: Module, names: frozenset[str]) -> tuple[Decimal, str] | None:
    units = {s.name.removesuffix("/@Unit"): s.value for s in module.settings if s.name.endswith("/@Unit")}
    for setting in module.settings:
        words = re.sub(r"(?<=[a-z])(?=[A-Z][a-z])", " ", setting.name.rpartition("/")[2])
        folded = fold(words)
        unit = folded.rpartition(" ")[2] if folded.rpartition(" ")[2] in ("ma", "a") else ""
        if folded in names or (unit and folded.rpartition(" ")[0] in names):
            text = f"{setting.value} {units.get(setting.name, '') or {'ma': 'mA', 'a': 'A'}.get(unit, '')}"
            stated = _number(text)
            if stated is not None:
                return stated, f"its setting {setting.name}"
    return None


def _number(text: str) -> Decimal | None:
    found = _AMPERES.search(text)
    if found is None:
        return None
    number = Decimal(found[1].replace(",", "."))
    return number / 1000 if found[2] != "A" else number


def _amperes(value: Decimal) -> str:
    return f"{value.normalize():f} A" if value else "0 A"
