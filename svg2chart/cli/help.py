"""The command `help`: the pages of the manual."""

import argparse
from importlib import resources

from svg2chart.cli.options import UseError


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the topic."""
    parser.add_argument("topic", nargs="?", help=f"one of: {', '.join(topics())}")


def run(options: argparse.Namespace) -> int:
    """Print the page, or the topics where none is named."""
    if options.topic is None:
        print("\n".join(topics()))
        return 0
    if options.topic not in topics():
        raise UseError(f"svg2chart help: no page {options.topic!r}; there are: {', '.join(topics())}")
    print(_folder().joinpath(f"{options.topic}.md").read_text("utf-8"), end="")
    return 0


def topics() -> list[str]:
    """Return the names of the pages."""
    return sorted(page.name.removesuffix(".md") for page in _folder().iterdir() if page.name.endswith(".md"))


def _folder() -> resources.abc.Traversable:
    return resources.files("svg2chart").joinpath("docs")
