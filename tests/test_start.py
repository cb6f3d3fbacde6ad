"""What a command loads: libraries that set words and write PDF only where there is something for them."""

import subprocess
import sys

import pytest

CHART = """
import sys
from svg2chart.convert import convert
from svg2chart.grid import Grid
from svg2chart.svg.read import parse_artwork
art = parse_artwork(b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">{}</svg>')
convert(art, Grid.fit(art, wide=9))
print(*sys.modules)
"""
WORDS = {"fontTools", "uharfbuzz", "bidi", "font_source_sans_pro"}


@pytest.mark.parametrize(
    ("content", "expected"),
    [('<rect width="9" height="9"/>', set()), ('<text y="9">boats</text>', WORDS)],
)
def test_only_drawings_with_words_load_what_sets_them(content: str, expected: set[str]) -> None:
    done = subprocess.run(
        [sys.executable, "-c", CHART.format(content)], capture_output=True, text=True, check=True
    )
    loaded = set(done.stdout.split())
    assert loaded & WORDS == expected
    assert "pikepdf" not in loaded
