"""Headings of tables: which words, in five languages, stand for which column.

A heading is folded (case, accents, punctuation) and looked up in one table of synonyms; nothing is recognised by
likeness. Where two columns of a table could have one role, the word that stands first in its list wins and the other
stays a further column.
"""

from __future__ import annotations

import re
import string
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache

SYNONYMS: Mapping[str, str] = {
    "name": "name, symbol, symbol name, tag name, tag, variable name, variable, identifier, signal name, signal, "
    "symbolname, tagname, variablename, variablenname, bezeichner, signalname, "
    "nom, symbole, nom du symbole, mnemonique, nom de variable, nom de la variable, etiquette, "
    "nombre, simbolo, nombre del simbolo, nombre de variable, etiqueta, "
    "nome, nome simbolico, nome simbolo, nome variabile, variabile, etichetta",
    "address": "address, direct address, logical address, absolute address, operand, "
    "adresse, direkte adresse, absolutadresse, logische adresse, absolute adresse, "
    "adresse directe, adresse logique, adresse absolue, operande, "
    "direccion, direccion directa, direccion logica, direccion absoluta, operando, "
    "indirizzo, indirizzo diretto, indirizzo logico, indirizzo assoluto",
    "type": "type, data type, datatype, datentyp, typ, type de donnees, tipo de datos, tipo de dato, "
    "tipo di dati, tipo di dato, tipo dati, tipo dato, tipo",
    "comment": "comment, comments, description, remark, kommentar, beschreibung, bemerkung, "
    "commentaire, remarque, comentario, descripcion, observacion, commento, descrizione, osservazione",
    "actual": "actual, actual value, current value, istwert, aktueller wert, "
    "valeur actuelle, valeur courante, valor actual, valor real, valore attuale, valore corrente",
    "value": "value, wert, valeur, valor, valore",
    "initial": "initial, initial value, start value, default value, default, anfangswert, startwert, initialwert, "
    "valeur initiale, valeur de depart, valeur par defaut, valor inicial, valor de arranque, valor por defecto, "
    "valore iniziale, valore di avvio, valore predefinito",
    "unit": "unit, units, engineering unit, einheit, masseinheit, unite, unidad, unita, unita di misura",
    "forced": "forced value, force value, forced, force, zwangswert, forcewert, zwangsgesteuerter wert, "
    "valeur forcee, valeur de forcage, forcage, valor forzado, forzado, valor de forzado, "
    "valore forzato, valore di forzamento, forzamento",
    "station": "station, device, controller, gerat, steuerung, appareil, automate, estacion, dispositivo, stazione",
    "rack": "rack, baugruppentrager, racknummer, chassis, bastidor, telaio",
    "slot": "slot, slot number, steckplatz, emplacement, ranura, alloggiamento, posizione",
    "module": "module, module name, baugruppe, modul, nom du module, modulo, nombre del modulo, nome modulo",
    "order number": "order number, order no, part number, bestellnummer, artikelnummer, bestell nr, "
    "reference, numero de reference, numero de commande, referencia, numero de referencia, numero de pedido, "
    "numero di ordinazione, numero d ordine, codice",
    "firmware": "firmware, firmware version, firmwareversion, firmwarestand, version du firmware, "
    "version de firmware, versione firmware",
    "input start": "input start, input address, inputs from, eingangsadresse, eingange ab, adresse d entree, "
    "debut des entrees, direccion de entrada, entradas desde, indirizzo di ingresso, ingressi da",
    "input length": "input length, input size, eingangslange, lange eingange, longueur des entrees, "
    "longitud de entrada, longitud de entradas, lunghezza ingressi",
    "output start": "output start, output address, outputs from, ausgangsadresse, ausgange ab, adresse de sortie, "
    "debut des sorties, direccion de salida, salidas desde, indirizzo di uscita, uscite da",
    "output length": "output length, output size, ausgangslange, lange ausgange, longueur des sorties, "
    "longitud de salida, longitud de salidas, lunghezza uscite",
    "current": "current draw, current consumption, current, stromaufnahme, strom, consommation, courant absorbe, "
    "consommation de courant, consumo de corriente, consumo, assorbimento, assorbimento di corrente",
}
"""Role -> headings, folded: general words of the trade (common practice). What only one tool says is for a profile."""

_DIGIT = re.compile(r"[0-9]")
"""No heading holds one."""
_PLAIN = frozenset(string.ascii_letters + string.digits)
UNITS = {"bit": "bit", "bits": "bit", "byte": "byte", "bytes": "byte", "octets": "byte", "ma": "mA", "a": "A"}
"""A last word of a heading that states a unit, as in ``Input length (bits)`` or ``Current draw [mA]``."""


def fold(heading: str) -> str:
    """Case, accents and punctuation taken off, words joined by one blank.

    >>> fold("  Data-Type "), fold("Länge (Eingänge)"), fold("Adresse d'entrée")
    ('data type', 'lange eingange', 'adresse d entree')
    """
    plain = heading
    if not heading.isascii():
        plain = "".join(c for c in unicodedata.normalize("NFKD", heading) if not unicodedata.combining(c))
    return " ".join(re.findall(r"[^\W_]+", plain.lower()))


@lru_cache(maxsize=1)
def _ranks() -> Mapping[str, tuple[tuple[str, int], ...]]:
    """Folded heading -> (role, rank); one word may serve several roles (``modulo``)."""
    found: dict[str, list[tuple[str, int]]] = {}
    for role, words in SYNONYMS.items():
        for rank, word in enumerate(words.split(", ")):
            found.setdefault(word, []).append((role, rank))
    return {word: tuple(roles) for word, roles in found.items()}


def is_known(cell: str) -> bool:
    """Whether a cell is a known heading of any column."""
    return len(cell) <= 40 and _DIGIT.search(cell) is None and bool(_roles_of(fold(cell)))


def known_among(cells: Iterable[str]) -> set[str]:
    """Those cells that are known headings; nearly all others are ruled out by their first three letters."""
    begin = {word[:3] for word in _ranks()}
    return {cell for cell in cells if (cell[:3].lower() in begin or not _PLAIN.issuperset(cell[:3])) and is_known(cell)}


def unit_of(heading: str) -> str:
    """The unit stated at the end of a heading (``bit``, ``byte``, ``mA``, ``A``) or empty."""
    words = fold(heading).split()
    return UNITS.get(words[-1], "") if len(words) > 1 else ""


def roles(headings: Sequence[str], wanted: Sequence[str]) -> dict[str, int]:
    """Role -> column number (from 0) for those of the ``wanted`` roles that the headings hold, in that order."""
    folded = [fold(heading) for heading in headings]
    found: dict[str, int] = {}
    for role in wanted:
        candidates = [
            (rank, at)
            for at, heading in enumerate(folded)
            for known, rank in _roles_of(heading)
            if known == role and at not in found.values()
        ]
        if candidates:
            found[role] = min(candidates)[1]
    return found


def _roles_of(heading: str) -> tuple[tuple[str, int], ...]:
    known = _ranks()
    if heading in known:
        return known[heading]
    words = heading.split()
    if len(words) > 1 and words[-1] in UNITS:
        return known.get(" ".join(words[:-1]), ())
    return ()
