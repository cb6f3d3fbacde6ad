"""What is going on during long work: one line on a terminal, nothing anywhere else."""

import sys

_WIPE = "\r\x1b[2K"  # to the start of the line, which is erased; ECMA-48, 8.3.41


def tell_progress(what: str) -> None:
    """Show what is going on in place of what was shown before; "" shows nothing."""
    if sys.stderr is not None and sys.stderr.isatty():
        print(f"{_WIPE}{what}", end="", file=sys.stderr, flush=True)


def tell_page(number: int, of: int) -> None:
    """Show which page is being drawn."""
    tell_progress(f"page {number} of {of}")
