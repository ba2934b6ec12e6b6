"""The list of formats. A new reader is added here and nowhere else."""

from __future__ import annotations

from asfound.readers.reader import Reader


def readers() -> tuple[Reader, ...]:
    """Every reader, in the order in which they are asked (the specific ones first)."""
    from asfound.readers import automationml, iec61131_10, iec_text, tc6
    from asfound.readers.tables import module_list, profile, tag_table, value_list

    return (
        iec61131_10.READER,
        tc6.READER,
        automationml.READER,
        profile.READER,
        value_list.FORCE_READER,
        value_list.READER,
        module_list.READER,
        tag_table.READER,
        iec_text.READER,
    )
