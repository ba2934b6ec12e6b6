"""What a controller does, written apart from everything in asfound that proves: the judge of the proofs.

``machine.Machine(copy, pou)`` runs a program cycle by cycle. The model and the parser are the product's own, so both
sides of a pair are read as the product reads them; everything after that (values, memory, order, calls, standard
functions and blocks) is written here and only here. No compiler of the languages could be had where this was written, so
it is checked against worked examples of IEC 61131-3 (from memory), tables made by hand, and the arithmetic of Python.
Not run: charts (SFC), and whatever the parser keeps as text.
"""
