"""The real editor: a profile with the extensions, and a screen that nobody sees."""

import os
import re
import shutil
import subprocess
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import ImageGrab

from svg2chart.cli.main import main

NEEDED = ("inkscape", "Xvfb", "xdotool")
SECONDS = 600  # for one start of the editor with ten drawings, on a machine with much else to do


@dataclass(frozen=True)
class Editor:
    """Runs the editor with a profile of its own; messages of the extensions go to a file.

    screen: the name of the screen that it is shown on, "" for none. language: of its texts, "" for English.
    """

    profile: Path
    screen: str
    language: str = ""

    @property
    def messages(self) -> Path:
        return self.profile / "messages.txt"

    def environment(self) -> dict[str, str]:
        return {
            **os.environ,
            "INKSCAPE_PROFILE_DIR": str(self.profile),
            "SVG2CHART_MESSAGES": str(self.messages),
            "DISPLAY": self.screen,
            "LC_ALL": "C.UTF-8",
            "LANGUAGE": self.language,
        }

    def run(self, *arguments: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            ["inkscape", *arguments],
            env=self.environment(),
            capture_output=True,
            text=True,
            timeout=SECONDS,
            check=False,
        )

    def set(self, **parameters: object) -> None:
        """Set all that the dialogs remember: chart_by="wide" is the parameter by of chart."""
        path = self.profile / "preferences.xml"
        text = path.read_text("utf-8")
        group = re.search(r'<group\s[^>]*?id="extensions"[^>]*>', text)
        assert group is not None
        bare = re.sub(r'\s+org\.svg2chart\.[\w.]+="[^"]*"', "", group[0])
        values = "".join(
            f' org.svg2chart.{name.replace("_", ".", 1)}="{value}"' for name, value in parameters.items()
        )
        path.write_text(text.replace(group[0], bare.replace("<group", f"<group{values}", 1)), "utf-8")

    def apply(self, drawing: Path, effects: Sequence[str], made: Path, *, select: str = "") -> str:
        """Apply effects to a drawing as the menu does, save it, and return what they said."""
        made.unlink(missing_ok=True)
        actions = [f"select-by-id:{select}"] if select else []
        actions += [f"org.svg2chart.{effect}.noprefs" for effect in effects]
        said = self.act(drawing, [*actions, f"export-filename:{made}", "export-do"])
        assert made.exists()
        return said

    def act(self, drawing: Path, actions: Sequence[str]) -> str:
        """Open a drawing, do one action after the other, and return what the extensions said."""
        self.messages.unlink(missing_ok=True)
        self.run(str(drawing), "--batch-process", "--actions=" + ";".join(actions))
        return self.messages.read_text("utf-8") if self.messages.exists() else ""


def profile_of(folder: Path, screen: "Screen") -> Editor:
    """Return an editor that keeps its profile in a folder, with the extensions in it."""
    made = Editor(profile=folder, screen=screen.name)
    made.run("--user-data-directory")  # fills the profile
    assert main(["editor", "install", "--editor-folder", str(folder / "extensions")]) == 0
    return made


@dataclass(frozen=True)
class Screen:
    """A screen that nobody sees, by its name."""

    name: str

    def picture(self) -> NDArray[np.uint8]:
        """Return what is on it: [row, column, channel]."""
        return np.asarray(ImageGrab.grab(xdisplay=self.name))


@pytest.fixture(scope="session")
def screen() -> Iterator[Screen]:
    missing = [program for program in NEEDED if shutil.which(program) is None]
    if missing:
        if os.environ.get("CI"):
            pytest.fail(f"missing: {', '.join(missing)}")
        pytest.skip(f"not installed: {', '.join(missing)}")
    read, write = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(write), "-screen", "0", "1280x900x24", "-nolisten", "tcp"],
        pass_fds=[write],
        stderr=subprocess.DEVNULL,
    )
    os.close(write)
    with os.fdopen(read) as numbers:
        number = numbers.readline().strip()
    try:
        yield Screen(name=f":{number}")
    finally:
        server.terminate()
        server.wait()


@pytest.fixture(scope="session")
def editor(screen: Screen, tmp_path_factory: pytest.TempPathFactory) -> Editor:
    return profile_of(tmp_path_factory.mktemp("profile"), screen)
