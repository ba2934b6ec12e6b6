"""One module or package per open format; see registry for the list."""
