"""The table of fields: what a field that differs is called, and the effect it has; sentences are made from it last."""
