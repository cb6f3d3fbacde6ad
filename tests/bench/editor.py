"""How much longer the editor takes when it also shows the squares of an 80-square drawing.

Needs Inkscape, Xvfb and the package installed for this Python. Both starts come by turns, three times each.

    .venv/bin/python tests/bench/editor.py [DRAWING.svg]
"""

import argparse
import os
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from svg2chart.editing.installing import install

HARBOUR = Path(__file__).parents[2] / "examples" / "harbour-festival.svg"
TURNS = 3
SQUARES = "org.svg2chart.squares.noprefs;"


def seconds(drawing: Path, actions: str, made: Path, environment: dict[str, str]) -> float:
    """Start the editor with actions, save the drawing, and return how long that took."""
    start = time.perf_counter()
    told = f"--actions={actions}export-filename:{made};export-do"
    subprocess.run(
        ["xvfb-run", "-a", "inkscape", str(drawing), "--batch-process", told],
        env=environment,
        capture_output=True,
        check=True,
    )
    return time.perf_counter() - start


def main() -> None:
    """Print the times of both, and how much more the squares take."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("drawing", nargs="?", type=Path, default=HARBOUR)
    drawing = parser.parse_args().drawing
    with tempfile.TemporaryDirectory() as folder:
        profile, made = Path(folder, "profile"), Path(folder, "made.svg")
        environment = {**os.environ, "INKSCAPE_PROFILE_DIR": str(profile)}
        environment["SVG2CHART_MESSAGES"] = str(Path(folder, "messages.txt"))
        install(profile / "extensions", python=sys.executable)
        seconds(drawing, "", made, environment)  # fills the profile
        preferences = profile / "preferences.xml"
        text = preferences.read_text("utf-8")
        wide = ' org.svg2chart.squares.by="wide" org.svg2chart.squares.number="80"'
        preferences.write_text(
            re.sub(r'(<group)(\s[^>]*?id="extensions")', rf"\1{wide}\2", text, count=1), "utf-8"
        )
        alone, both = [], []
        for _ in range(TURNS):
            alone.append(seconds(drawing, "", made, environment))
            both.append(seconds(drawing, SQUARES, made, environment))
            assert 'data-svg2chart="overlay"' in made.read_text("utf-8")
    for name, times in (("without", alone), ("with squares", both)):
        print(f"{name:14}" + " ".join(f"{each:6.2f}" for each in times) + " s")
    print(f"more          {sorted(both)[1] - sorted(alone)[1]:6.2f} s in the middle of {TURNS}")


if __name__ == "__main__":
    main()
