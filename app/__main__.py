"""`python -m app` and the console command `baysweep`."""

import sys

from app.command_line import main

if __name__ == "__main__":
    sys.exit(main())
