"""Standard function blocks (IEC 61131-3:2013 tables 43 to 46, bodies and timing diagrams from memory)."""

from __future__ import annotations

from typing import Any

from interpreter.cells import Group
from interpreter.numbers import Val, wrapped

_COUNTS = ("", "_INT", "_DINT", "_LINT", "_UDINT", "_ULINT")
PINS: dict[str, dict[str, tuple[str, str]]] = {
    "SR": {"s1": ("BOOL", "input"), "r": ("BOOL", "input"), "q1": ("BOOL", "output")},
    "RS": {"s": ("BOOL", "input"), "r1": ("BOOL", "input"), "q1": ("BOOL", "output")},
    "R_TRIG": {"clk": ("BOOL", "input"), "q": ("BOOL", "output")},
    "F_TRIG": {"clk": ("BOOL", "input"), "q": ("BOOL", "output")},
}
"""Pins in order, by block: folded name, type, section."""
for _name in ("TON", "TOF", "TP"):
    PINS[_name] = {
        "in": ("BOOL", "input"), "pt": ("TIME", "input"), "q": ("BOOL", "output"), "et": ("TIME", "output"),
    }  # fmt: skip
for _suffix in _COUNTS:
    _type = _suffix.removeprefix("_") or "INT"
    PINS[f"CTU{_suffix}"] = {
        "cu": ("BOOL", "input"), "r": ("BOOL", "input"), "pv": (_type, "input"), "q": ("BOOL", "output"),
        "cv": (_type, "output"),
    }  # fmt: skip
    PINS[f"CTD{_suffix}"] = {
        "cd": ("BOOL", "input"), "ld": ("BOOL", "input"), "pv": (_type, "input"), "q": ("BOOL", "output"),
        "cv": (_type, "output"),
    }  # fmt: skip
    PINS[f"CTUD{_suffix}"] = {
        "cu": ("BOOL", "input"), "cd": ("BOOL", "input"), "r": ("BOOL", "input"), "ld": ("BOOL", "input"),
        "pv": (_type, "input"), "qu": ("BOOL", "output"), "qd": ("BOOL", "output"), "cv": (_type, "output"),
    }  # fmt: skip
REMEMBERED = {"R_TRIG": ("m",), "F_TRIG": ("m",), "CTU": ("cu",), "CTD": ("cd",)}
"""Hidden memories of an edge, where a block has only one."""


def run(block: str, instance: Group, now: int) -> None:
    """One call of a standard block; ``now`` in nanoseconds."""
    pins = {name: cell.read().content for name, cell in instance.parts.items()}
    base = block.split("_", maxsplit=1)[0] if block not in ("R_TRIG", "F_TRIG") else block
    found = _BODIES[base](pins, instance.hidden, now)
    for name, content in found.items():
        cell = instance.parts[name]
        cell.write(Val(content, cell.kind.name))


def _rising(now: bool, memory: dict[Any, Any], name: str) -> bool:
    before = memory.get(name, False)
    memory[name] = now
    return now and not before


def _sr(p: dict[str, Any], m: dict[Any, Any], now: int) -> dict[str, Any]:
    return {"q1": p["s1"] or (not p["r"] and p["q1"])}


def _rs(p: dict[str, Any], m: dict[Any, Any], now: int) -> dict[str, Any]:
    return {"q1": not p["r1"] and (p["s"] or p["q1"])}


def _r_trig(p: dict[str, Any], m: dict[Any, Any], now: int) -> dict[str, Any]:
    return {"q": _rising(p["clk"], m, "m")}


def _f_trig(p: dict[str, Any], m: dict[Any, Any], now: int) -> dict[str, Any]:
    return {"q": _rising(not p["clk"], m, "m")}


def _ton(p: dict[str, Any], m: dict[Any, Any], now: int) -> dict[str, Any]:
    if not p["in"]:
        m.clear()
        return {"q": False, "et": 0}
    gone = min(now - m.setdefault("since", now), p["pt"])
    return {"q": gone >= p["pt"], "et": gone}


def _tof(p: dict[str, Any], m: dict[Any, Any], now: int) -> dict[str, Any]:
    if p["in"]:
        m.clear()
        return {"q": True, "et": 0}
    if not p["q"]:
        return {}
    gone = min(now - m.setdefault("since", now), p["pt"])
    return {"q": gone < p["pt"], "et": gone}


def _tp(p: dict[str, Any], m: dict[Any, Any], now: int) -> dict[str, Any]:
    if _rising(p["in"], m, "in") and "since" not in m:
        m["since"] = now
    if "since" not in m:
        return {"q": False, "et": 0}
    gone = min(now - m["since"], p["pt"])
    if gone >= p["pt"] and not p["in"]:
        del m["since"]
        return {"q": False, "et": 0}
    return {"q": gone < p["pt"], "et": gone}


def _ctu(p: dict[str, Any], m: dict[Any, Any], now: int) -> dict[str, Any]:
    up = _rising(p["cu"], m, "cu")
    cv = 0 if p["r"] else _one_up(p["cv"]) if up else p["cv"]
    return {"cv": cv, "q": cv >= p["pv"]}


def _ctd(p: dict[str, Any], m: dict[Any, Any], now: int) -> dict[str, Any]:
    down = _rising(p["cd"], m, "cd")
    cv = p["pv"] if p["ld"] else _one_down(p["cv"]) if down else p["cv"]
    return {"cv": cv, "q": cv <= 0}


def _ctud(p: dict[str, Any], m: dict[Any, Any], now: int) -> dict[str, Any]:
    up, down = _rising(p["cu"], m, "cu"), _rising(p["cd"], m, "cd")
    cv = p["cv"]
    if p["r"]:
        cv = 0
    elif p["ld"]:
        cv = p["pv"]
    elif up != down:
        cv = _one_up(cv) if up else _one_down(cv)
    return {"cv": cv, "qu": cv >= p["pv"], "qd": cv <= 0}


def _one_up(count: int) -> int:
    return count if count >= 32767 else count + 1


def _one_down(count: int) -> int:
    return count if count <= -32768 else wrapped(count - 1, "INT")


_BODIES = {
    "SR": _sr, "RS": _rs, "R_TRIG": _r_trig, "F_TRIG": _f_trig, "TON": _ton, "TOF": _tof, "TP": _tp, "CTU": _ctu,
    "CTD": _ctd, "CTUD": _ctud,
}  # fmt: skip
