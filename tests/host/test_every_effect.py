"""Every effect on every drawing: what the editor is given is what the command line gives, byte for byte."""

import shutil
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

from svg2chart.cli.main import main
from tests.host.conftest import Editor, Screen, profile_of
from tests.host.recording import Run, keep_runs, kept_runs
from tests.host.samples import AS_DIALOGS, FLOWED, NAMES, SAMPLES, content

pytestmark = pytest.mark.skipif(not SAMPLES, reason="the samples beside the repo are not there")

SELECTED = {
    "01-layers": "hull",
    "02-text-lines": "ribbon",
    "03-text-flowed": "panel",
    "04-text-on-path": "band",
    "05-clones": "rope",
    "06-markers-pattern": "deck",
    "07-pages-grid": "p1boat",
    "08-strokes": "dash",
    "09-live-effects": "hut",
    "10-clip-mask": "foggy",
}
WITH_WORDS = {"02-text-lines", "03-text-flowed", "04-text-on-path", "08-strokes"}
FITTED = WITH_WORDS - {"04-text-on-path", "08-strokes"}  # those have words on a path, and words with a stroke
SIZE = ["--wide", "30", *AS_DIALOGS]
CHANGES = {  # the rest of the words, after "editor" and the drawing; cleared is what squares gave
    "squares": ["squares", *SIZE, "--show", "both", "--strength", "80"],
    "clear": ["clear", "--layer", "squares"],
    "stitches": ["stitches", *SIZE],
    "letters": ["letters", "--wide", "100"],  # their words are high enough there for letters
    "mark": ["mark", "--as", "leave-out"],
    "page": ["page", "--wide", "30", "--high", "20", "--fabric", "16", "--over", "2"],
}
SET = {
    **{f"{effect}_by": "wide" for effect in ("squares", "stitches", "letters", "chart")},
    **{f"{effect}_number": 30 for effect in ("squares", "stitches", "chart")},
    "letters_number": 100,
    "mark_stitch": "leave-out",
    "page_wide": 30,
    "page_high": 20,
    "page_fabric": 16,
    "page_over": 2,
    "chart_replace": 1,
}
HAND_BACK = {  # an effect that changes nothing: what the editor itself makes of a drawing handed over
    "back.inx": """<?xml version="1.0" encoding="UTF-8"?>
<inkscape-extension xmlns="http://www.inkscape.org/namespace/inkscape/extension">
  <name>Hand back</name>
  <id>org.example.handback</id>
  <effect needs-live-preview="false">
    <object-type>all</object-type>
    <effects-menu hidden="true"/>
  </effect>
  <script>
    <command location="inx" interpreter="python">back.py</command>
  </script>
</inkscape-extension>
""",
    "back.py": "import sys\nsys.stdout.buffer.write(open(sys.argv[-1], 'rb').read())\n",
}


@dataclass(frozen=True)
class Worked:
    """What one start of the editor did to a drawing: each run of svg2chart, and what was saved after each.

    before, after: saved before the first effect, and when each had been undone by one step.
    """

    runs: dict[str, Run]
    saved: dict[str, Path]
    before: Path
    after: Path
    said: str


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("effects")


@pytest.fixture(scope="module")
def keeping(screen: Screen, folder: Path) -> Editor:
    """Return an editor of its own, whose runs of svg2chart are kept."""
    editor = profile_of(folder / "profile", screen)
    extensions = editor.profile / "extensions"
    (extensions / "test").mkdir()
    for name, text in HAND_BACK.items():
        (extensions / "test" / name).write_text(text, "utf-8")
    return editor


@pytest.fixture(scope="module")
def worked(keeping: Editor, folder: Path) -> dict[str, Worked]:
    """Apply every effect to every sample, each undone before the next but for what is cleared."""
    done = {}
    for sample in SAMPLES:
        place = folder / sample.stem
        place.mkdir()
        done[sample.stem] = work_on(keeping, sample, place)
    return done


def work_on(editor: Editor, sample: Path, place: Path) -> Worked:
    drawing = Path(shutil.copy(sample, place))
    drawing.chmod(0o644)
    runs = place / "runs"
    runs.mkdir()
    keep_runs(editor.profile / "extensions" / "svg2chart", runs, python=sys.executable)
    charts = place / "charts"
    editor.set(**SET, chart_folder=charts)
    saved = {name: place / f"{name}.svg" for name in ("before", *CHANGES, "after")}
    # shapes of path effects are worked out anew by any effect, and stay so when it is undone
    actions = ["org.example.handback.noprefs", "undo", *saving(saved["before"], sample)]
    for effect in CHANGES:
        undo = {"squares": [], "clear": ["undo", "undo"]}.get(effect, ["undo"])
        is_changed = effect != "letters" or sample.stem in WITH_WORDS
        actions += ["select-clear", *([f"select-by-id:{SELECTED[sample.stem]}"] if effect == "mark" else [])]
        actions += [f"org.svg2chart.{effect}.noprefs", *saving(saved[effect], sample)]
        actions += undo if is_changed else []
    actions += ["org.svg2chart.chart.noprefs", *saving(saved["after"], sample)]
    said = editor.act(drawing, actions)
    kept = dict(zip([*CHANGES, "chart"], kept_runs(runs), strict=True))
    before, after = saved.pop("before"), saved.pop("after")
    return Worked(runs=kept, saved=saved, before=before, after=after, said=said)


def saving(made: Path, sample: Path) -> list[str]:
    """Return the actions that save a drawing; of flowed words that is a step of its own, and is undone."""
    return [f"export-filename:{made}", "export-do", *(["undo"] if sample.stem == FLOWED else [])]


@pytest.fixture(scope="module")
def handed_back(keeping: Editor, worked: dict[str, Worked], folder: Path) -> Path:
    """Return a folder of all that svg2chart printed, handed back unchanged and saved by the editor."""
    made = folder / "handed-back"
    made.mkdir()
    for name, work in worked.items():
        for effect, run in work.runs.items():
            if effect in CHANGES and run.printed:
                (made / f"{name}-{effect}.svg").write_bytes(run.printed)
    drawings = sorted(map(str, made.iterdir()))
    actions = "org.example.handback.noprefs;export-type:svg;export-overwrite;export-do"
    keeping.run(*drawings, "--batch-process", f"--actions={actions}")
    return made


CASES = [(name, effect) for name in NAMES for effect in CHANGES]


@pytest.mark.parametrize(("name", "effect"), CASES)
def test_an_effect_hands_over_what_the_command_line_prints(
    worked: dict[str, Worked], name: str, effect: str, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    run = worked[name].runs[effect]
    action, *rest = CHANGES[effect]
    selected = ["--id", SELECTED[name]] if effect == "mark" else []
    capfdbinary.readouterr()
    status = main(["editor", action, str(run.drawing), *rest, *selected])
    assert (run.status, run.printed) == (status, capfdbinary.readouterr().out)
    assert (status == 0) == (effect != "letters" or name in WITH_WORDS)


@pytest.mark.parametrize(("name", "effect"), CASES)
def test_what_an_effect_hands_over_is_what_the_editor_saves(
    worked: dict[str, Worked], handed_back: Path, name: str, effect: str
) -> None:
    work = worked[name]
    if work.runs[effect].printed:
        assert content(work.saved[effect]) == content(handed_back / f"{name}-{effect}.svg")
    else:
        assert content(work.saved[effect]) == content(work.before)


MARKS = {
    "squares": 'data-svg2chart="overlay"',
    "stitches": 'data-svg2chart="stitches"',
    "letters": 'data-svg2chart="letters"',
    "mark": 'data-stitch="leave-out"',
    "page": "svg2chart-grid",
}


@pytest.mark.parametrize("name", NAMES)
def test_each_effect_leaves_its_mark_and_one_undo_takes_it_away(worked: dict[str, Worked], name: str) -> None:
    work = worked[name]
    assert content(work.after) == content(work.before)
    assert content(work.saved["clear"]) == content(work.before)
    for effect, mark in MARKS.items():
        has_mark = effect != "letters" or name in FITTED
        assert (mark in work.saved[effect].read_text("utf-8")) == has_mark, effect
    assert ("there is no text" in work.said) == (name not in WITH_WORDS)


@pytest.mark.parametrize("name", NAMES)
def test_the_chart_is_that_of_the_command_line(
    worked: dict[str, Worked], folder: Path, tmp_path: Path, name: str
) -> None:
    run = worked[name].runs["chart"]
    assert main(["chart", str(run.drawing), "-o", f"{tmp_path}/", *SIZE, "--paper", "a4"]) == 0
    for ending in (".chart.json", ".pdf"):
        made = folder / name / "charts" / f"{name}{ending}"
        assert made.read_bytes() == (tmp_path / f"{name}{ending}").read_bytes()
    assert "30 x " in worked[name].said
