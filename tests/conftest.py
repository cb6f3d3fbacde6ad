"""Profiles of the property tests: `dev` for a quick look, `ci` where CI is set."""

import gc

from hypothesis import settings

from tests.breadth import IS_FULL, USUAL_EXAMPLES

settings.register_profile("dev", max_examples=USUAL_EXAMPLES, deadline=None)
settings.register_profile("ci", max_examples=USUAL_EXAMPLES, deadline=None, derandomize=True)
settings.load_profile("ci" if IS_FULL else "dev")


def pytest_collection_finish() -> None:
    """Leave what was collected out of the search for garbage: it is much, and it stays to the end."""
    gc.collect()
    gc.freeze()
