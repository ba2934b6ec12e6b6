"""Statements of what a station held, their signatures, and the folder that is handed over."""
