"""Profiles of the property tests, `ci` where CI is set, else `dev` for a quick look; and what saves time."""

import gc
import os
import sys
from pathlib import Path

from hypothesis import settings

from tests.breadth import IS_FULL, USUAL_EXAMPLES

settings.register_profile("dev", max_examples=USUAL_EXAMPLES, deadline=None)
settings.register_profile("ci", max_examples=USUAL_EXAMPLES, deadline=None, derandomize=True)
settings.load_profile("ci" if IS_FULL else "dev")

if sys.dont_write_bytecode:
    # Tests start a hundred processes, and each would compile all of svg2chart again. Nothing is written
    # beside the sources, which is what is asked for, but to the folder that pytest has anyway.
    compiled = Path(__file__).parents[1] / ".pytest_cache" / "compiled"
    sys.dont_write_bytecode, sys.pycache_prefix = False, str(compiled)
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    os.environ["PYTHONPYCACHEPREFIX"] = str(compiled)


def pytest_collection_finish() -> None:
    """Leave what was collected out of the search for garbage: it is much, and it stays to the end."""
    gc.collect()
    gc.freeze()
