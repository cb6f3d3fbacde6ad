"""Which svg2chart this is."""

from importlib import metadata


def version() -> str:
    """Return the installed version."""
    return metadata.version("svg2chart")
