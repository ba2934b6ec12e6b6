"""What one program is, before anything is compared: knows nothing of changes, effects and their words."""
