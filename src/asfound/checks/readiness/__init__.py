"""Whether a station is ready for a memory reset, a download, a firmware update or a battery change, and why not."""
