"""Random one-line breaks of analysis, prove and compare: do the nearest tests notice?

``PYTHONPATH=tests python -m mutation 60 --seed 1``
"""
