"""Inspections of one copy: what is wrong or worth knowing about its addresses, tags, hardware, values and forces."""
