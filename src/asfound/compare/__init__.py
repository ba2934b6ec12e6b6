"""Pairing, differences, effects."""
