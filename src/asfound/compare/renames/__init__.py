"""What is called otherwise now, found and told once, and applied to the old copy before anything is compared."""
