"""Frozen structs for everything we read, store and compare. Imports nothing of ours."""
