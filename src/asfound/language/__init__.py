"""IEC 61131-3 text: grammar, parser, printer, literals, addresses and the normal form."""
