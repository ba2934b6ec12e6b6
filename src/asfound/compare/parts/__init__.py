"""Differences in everything but logic: declarations, types, tasks, tags, hardware, values, unknown data."""
