"""``python -m assistant.cli``."""

import sys

from assistant.cli import main

if __name__ == "__main__":
    sys.exit(main())
