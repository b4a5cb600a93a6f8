"""Run the command as `python -m assistant`."""

import sys

from assistant.cli import main

sys.exit(main())
