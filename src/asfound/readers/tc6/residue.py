"""The residue of TC6: what is left of its elements after reading (see readers.residue)."""

from __future__ import annotations

from asfound.readers.residue import Residue
from asfound.readers.tc6.noise import NOISE

WRAPPERS = frozenset(
    {
        "addData",
        "connectionPointIn",
        "connectionPointOut",
        "connection",
        "initialValue",
        "simpleValue",
        "arrayValue",
        "structValue",
        "values",
        "value",
        "dimension",
        "range",
        "baseType",
        "inputVariables",
        "outputVariables",
        "inOutVariables",
        "variable",
        "xhtml",
        "p",
    }
)
"""Elements that say nothing once they are empty.

They are read in place, not cut out: what their reading leaves in them is then found by the ``rest`` of their owner."""

RESIDUE = Residue(noise=NOISE, wrappers=WRAPPERS)
rest, documentation = RESIDUE.rest, RESIDUE.documentation
