"""Which svg2chart this is."""


def version() -> str:
    """Return the installed version."""
    from importlib import metadata  # a third of the time that --help takes

    return metadata.version("svg2chart")
