"""`python -m svg2chart`: the command line."""

import sys

from svg2chart.cli.main import main

sys.exit(main())
