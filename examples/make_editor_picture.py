"""Make the picture of the README that shows the squares and stitches over the example, in the real editor.

Needs Inkscape, Xvfb and xdotool, and svg2chart in the Python that runs this:

    .venv/bin/python examples/make_editor_picture.py
"""

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from PIL import Image, ImageGrab

from svg2chart.editing.installing import install

HERE = Path(__file__).parent
EXAMPLE = HERE / "harbour-festival.svg"
PICTURE = HERE / "pictures" / "harbour-festival-editor.png"
SCREEN = ":94"
WIDE, HIGH = 1280, 900
CROP = (150, 108, 1160, 813)  # the page with the rulers above it
WAIT = 10  # seconds, for the editor to start, and for a key to be followed


def main() -> None:
    """Start the editor, lay the squares over the example, fit the page into the window, and keep that."""
    with tempfile.TemporaryDirectory() as folder:
        environment = {**os.environ, "INKSCAPE_PROFILE_DIR": folder, "DISPLAY": SCREEN, "LC_ALL": "C.UTF-8"}
        install(Path(folder, "extensions"), python=sys.executable)
        server = subprocess.Popen(["Xvfb", SCREEN, "-screen", "0", f"{WIDE}x{HIGH}x24", "-nolisten", "tcp"])
        time.sleep(1)
        action = "--actions=org.svg2chart.squares.noprefs"
        editor = subprocess.Popen(["inkscape", "--with-gui", str(EXAMPLE), action], env=environment)
        try:
            time.sleep(WAIT)
            window = ["search", "--onlyvisible", "--name", EXAMPLE.name]
            for words in (
                [*window, "windowsize", "--sync", str(WIDE), str(HIGH), "windowfocus", "--sync"],
                ["mousemove", str(WIDE - 10), str(HIGH // 2), "key", "5"],  # the key that fits the page
            ):
                subprocess.run(["xdotool", *words], env=environment, check=True)
            time.sleep(WAIT)
            shown = ImageGrab.grab(xdisplay=SCREEN)
        finally:
            editor.kill()
            server.terminate()
            server.wait()
    few = shown.convert("RGB").crop(CROP).quantize(128, method=Image.Quantize.MAXCOVERAGE)
    few.save(PICTURE, optimize=True)
    print(PICTURE)


if __name__ == "__main__":
    main()
