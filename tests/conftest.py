"""Profiles of the property tests: `dev` for a quick look, `ci` where CI is set."""

from hypothesis import settings

from tests.breadth import IS_FULL, USUAL_EXAMPLES

settings.register_profile("dev", max_examples=USUAL_EXAMPLES, deadline=None)
settings.register_profile("ci", max_examples=USUAL_EXAMPLES, deadline=None, derandomize=True)
settings.load_profile("ci" if IS_FULL else "dev")
