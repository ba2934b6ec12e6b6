"""Variables that are declared in another scope now, found and told once, before anything is compared."""
