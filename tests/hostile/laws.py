"""What must hold for whatever bytes somebody hands over; used by the tests here and by tests/fuzz."""

from __future__ import annotations

import unicodedata

import asfound
from asfound.language.normal import normal_form, read_normal_form
from asfound.model.copy import Copy
from asfound.model.problem import Problem

LONGEST_SENTENCE = 2000


def outcome(data: bytes, name: str) -> Copy | str:
    """The copy, or the sentence of the refusal; any other exception is a bug."""
    try:
        return asfound.read(data, name)
    except Problem as problem:
        sentence = str(problem)
        assert sentence.endswith("."), sentence
        assert len(sentence) < LONGEST_SENTENCE, sentence
        assert not hidden(sentence), ascii(sentence)
        return sentence


def hidden(text: str) -> list[str]:
    """Control, format and unpaired characters and line separators: what a terminal would act on."""
    return [sign for sign in text if unicodedata.category(sign) in ("Cc", "Cf", "Cs", "Zl", "Zp")]


def hold(data: bytes, name: str) -> Copy | str:
    """The outcome; what was read is equal to itself and its normal form is its own normal form."""
    found = outcome(data, name)
    if isinstance(found, Copy):
        assert asfound.compare(found, found).verdict == "identical"
        files = normal_form(found)
        again = normal_form(read_normal_form(files))
        for path in {**files, **again}:
            assert again.get(path) == files.get(path), path
    return found
