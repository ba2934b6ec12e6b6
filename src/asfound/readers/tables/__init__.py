"""Tables of tags, modules, values and forces, as text or spreadsheet, by their headings or by a profile."""
