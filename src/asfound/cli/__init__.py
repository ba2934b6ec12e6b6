"""The command line: parse arguments, call one function, print, exit code."""
