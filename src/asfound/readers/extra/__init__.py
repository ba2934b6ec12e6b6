"""Extension data with a known meaning, which exporters put alike into ``addData/data`` and ``AddData/Data``.

attribute_pragmas.py finds it and reads attribute lists, plaintext.py the declaration as text, named_values.py tasks,
libraries and the project tree, elements.py what is said about the elements of a chart.
"""
