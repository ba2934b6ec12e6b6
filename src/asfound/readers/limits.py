"""What a program export cannot show, said in sentences."""

from __future__ import annotations

from asfound.model.program import Program


def limits_of(found: Program, name: str) -> tuple[str, ...]:
    """What this export cannot show, in sentences."""
    limits: list[str] = []
    if not found.resources:
        limits.append(f"{name} holds no tasks and no configuration: what runs when is not known from it")
    floating = sorted(
        library.name for library in found.libraries if library.name and ("*" in library.version or not library.version)
    )
    if floating:
        limits.append(f"{name} links libraries in whatever version is newest: {', '.join(floating)}")
    if any(v.address.endswith("*") for p in found.pous for v in p.variables):
        limits.append(f"{name} leaves addresses open (%I*, %Q*): they are bound outside this export")
    return tuple(limits)
