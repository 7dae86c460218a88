"""`python -m quotegen` is the same as the command `quotegen`."""

import sys

from quotegen.cli import main

sys.exit(main())
