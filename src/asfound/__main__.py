"""``python -m asfound``."""

from asfound.cli.main import run

if __name__ == "__main__":
    run()
