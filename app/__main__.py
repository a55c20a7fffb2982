"""`python -m app` and the console command `baysweep`."""

import gc
import sys

from app.command_line import main as command

IMPORTED = 100_000
"""Objects made before it is first looked for what may be let go: what is imported stays, and so does most of what a sweep makes."""


def main() -> int:
    """Run one command in a process of its own; the answer is its exit code."""
    gc.set_threshold(IMPORTED)
    return command()


if __name__ == "__main__":
    sys.exit(main())
