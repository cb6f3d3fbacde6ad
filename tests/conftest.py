"""Profiles of the property tests: `dev` for a quick look, `ci` where CI is set."""

import os

from hypothesis import settings

settings.register_profile("dev", max_examples=15, deadline=None)
settings.register_profile("ci", max_examples=300, deadline=None, derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "dev")
