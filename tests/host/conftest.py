"""The real editor: a profile with the extensions, and a screen that nobody sees."""

import os
import re
import shutil
import subprocess
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import pytest

from svg2chart.cli.main import main

NEEDED = ("inkscape", "Xvfb", "xdotool")
SECONDS = 600  # for one start of the editor with ten drawings, on a machine with much else to do


@dataclass(frozen=True)
class Editor:
    """Runs the editor with a profile of its own; messages of the extensions go to a file."""

    profile: Path
    screen: str

    @property
    def messages(self) -> Path:
        return self.profile / "messages.txt"

    def environment(self) -> dict[str, str]:
        return {
            **os.environ,
            "INKSCAPE_PROFILE_DIR": str(self.profile),
            "SVG2CHART_MESSAGES": str(self.messages),
            "DISPLAY": self.screen,
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
        self.messages.unlink(missing_ok=True)
        made.unlink(missing_ok=True)
        actions = [f"select-by-id:{select}"] if select else []
        actions += [f"org.svg2chart.{effect}.noprefs" for effect in effects]
        self.run(
            str(drawing),
            "--batch-process",
            "--actions=" + ";".join([*actions, f"export-filename:{made}", "export-do"]),
        )
        assert made.exists()
        return self.messages.read_text("utf-8") if self.messages.exists() else ""


@pytest.fixture(scope="session")
def editor(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Editor]:
    missing = [program for program in NEEDED if shutil.which(program) is None]
    if missing:
        if os.environ.get("CI"):
            pytest.fail(f"missing: {', '.join(missing)}")
        pytest.skip(f"not installed: {', '.join(missing)}")
    read, write = os.pipe()
    screen = subprocess.Popen(
        ["Xvfb", "-displayfd", str(write), "-screen", "0", "1280x900x24", "-nolisten", "tcp"],
        pass_fds=[write],
        stderr=subprocess.DEVNULL,
    )
    os.close(write)
    with os.fdopen(read) as numbers:
        number = numbers.readline().strip()
    profile = tmp_path_factory.mktemp("profile")
    made = Editor(profile=profile, screen=f":{number}")
    made.run("--user-data-directory")  # fills the profile
    assert main(["editor", "install", "--editor-folder", str(profile / "extensions")]) == 0
    try:
        yield made
    finally:
        screen.terminate()
        screen.wait()
