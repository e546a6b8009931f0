"""``python -m reconcile``."""

import sys

from reconcile.entry import main

sys.exit(main())
