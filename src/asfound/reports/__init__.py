"""The result of a comparison for people and machines."""
