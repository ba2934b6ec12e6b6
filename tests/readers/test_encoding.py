"""Bytes to text: marks, UTF-8, guesses; no byte is ever lost."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.readers.encoding import decode

TEXTS = {
    "German": "Name;Adresse;Kommentar\nP1;%I0.0;Füllstand Behälter größer\n",
    "French": "Nom;Adresse;Commentaire\nP1;%I0.0;Départ pompe, niveau élevé à l'arrêt\n",
    "Spanish": "Nombre;Dirección;Comentario\nP1;%I0.0;Señal de válvula ¿abierta?\n",
    "Italian": "Nome;Indirizzo;Commento\nP1;%I0.0;Velocità più bassa\n",
    "signs": "Name;Unit\nT1;°C\nQ1;m³/h\nL1;µm ±2\n",
}


@pytest.mark.parametrize("language", TEXTS)
@pytest.mark.parametrize("codec", ["utf-8", "utf-8-sig", "utf-16", "utf-32"])
def test_marked_or_valid_text_is_no_guess(language: str, codec: str) -> None:
    assert decode(TEXTS[language].encode(codec)) == (TEXTS[language], codec, False)


@pytest.mark.parametrize("language", TEXTS)
@pytest.mark.parametrize("codec", ["cp1252", "cp850", "utf-16-le", "utf-16-be"])
def test_unmarked_text_is_guessed_and_says_so(language: str, codec: str) -> None:
    assert decode(TEXTS[language].encode(codec)) == (TEXTS[language], codec, True)


def test_central_european_page() -> None:
    assert decode("Název;Komentář\nČ1;Hladina nádrže příliš nízká\n".encode("cp1250")).encoding == "cp1250"


def test_letters_after_the_first_64_kb_are_not_forgotten() -> None:
    text = "a;b\n" * 20_000 + "Füllstand;1\n"
    assert decode(text.encode("cp1252")).text == text


@pytest.mark.parametrize("end", ["é", "niveau élevé", "ü"])
def test_the_last_letter_is_not_lost(end: str) -> None:
    assert decode(f"a;{end}".encode("cp1252")).text == f"a;{end}"


def test_a_letter_cut_in_half_stays_visible() -> None:
    assert decode("äöü".encode()[:-1]).text == "äö\\xc3"


@pytest.mark.parametrize("end", ["\r\n", "\r", "\n"])
def test_line_ends_are_one(end: str) -> None:
    assert decode(f"a{end}b{end}".encode()).text == "a\nb\n"


@given(st.binary(max_size=300))
def test_any_bytes_can_be_decoded(data: bytes) -> None:
    assert isinstance(decode(data).text, str)


@given(st.text(st.characters(codec="utf-8", exclude_characters="\r\x00\ufeff"), max_size=200))
def test_utf8_is_the_identity(text: str) -> None:
    assert decode(text.encode()).text == text
