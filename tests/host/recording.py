"""A Python for the extensions that keeps what they give to svg2chart and what it gives back."""

import json
from dataclasses import dataclass
from pathlib import Path

_KEEPER = """#!{python}
import pathlib, shutil, subprocess, sys
folder = pathlib.Path({folder!r})
place = folder / f"{{len(list(folder.iterdir())):03}}"
(place / "drawing").mkdir(parents=True)
shutil.copy(next(word for word in sys.argv[1:] if pathlib.Path(word).is_file()), place / "drawing")
done = subprocess.run([{python!r}, *sys.argv[1:]], capture_output=True)
(place / "printed").write_bytes(done.stdout)
(place / "status").write_text(str(done.returncode))
sys.stdout.buffer.write(done.stdout)
sys.stderr.buffer.write(done.stderr)
sys.exit(done.returncode)
"""


@dataclass(frozen=True)
class Run:
    """One run of svg2chart: the drawing that it was given, its status, what it printed."""

    drawing: Path
    status: int
    printed: bytes


def keep_runs(extensions: Path, folder: Path, *, python: str) -> None:
    """Let the extensions in a folder run svg2chart with this Python, and keep each run in another folder."""
    keeper = folder.with_name(f"{folder.name}-python")
    keeper.write_text(_KEEPER.format(python=python, folder=str(folder)), "utf-8")
    keeper.chmod(0o755)
    (extensions / "svg2chart.json").write_text(json.dumps({"python": str(keeper)}), "utf-8")


def kept_runs(folder: Path) -> list[Run]:
    """Return the runs in the order in which they were begun."""
    runs = []
    for place in sorted(folder.iterdir()):
        (drawing,) = (place / "drawing").iterdir()
        status, printed = int((place / "status").read_text()), (place / "printed").read_bytes()
        runs.append(Run(drawing=drawing, status=status, printed=printed))
    return runs
