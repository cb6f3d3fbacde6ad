"""The order of the house: who may import whom, who may open files, how large a module may be."""

import ast
import sys
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

REPO = Path(__file__).parents[1]
PACKAGE = REPO / "svg2chart"
MOST_LINES = 350
MOST_FUNCTION_LINES = 40  # without the docstring: what fits on a screen

ROWS = {
    "errors remarks units colour runs strictjson xmltext files": 0,
    "geometry": 1,
    "grid reach regions letterforms artwork chart fabrics info alphabets": 2,
    "lettering": 3,
    "svg": 4,
    "octants dots fit fitting hidden coverage visible painting": 5,
    "arranging stitches octant_shapes offsquares letters": 6,
    "lines backstitch given calm palette merging rivals touching threads cards symbols symbol_drawing": 6,
    "symbol_shapes symbol_figures symbol_likeness symbol_assignment": 6,
    "convert assembly check letterdrawing chartdrawing chartfile chartparse quantity guiding picture": 7,
    "request room shortfall fewstitches fittedaway closeup closelooks closecells": 7,
    "bluntcorners cornertouch unequal slantedbars unevencopies unevenwidths seenacross": 7,
    "pages editing": 8,
    "proof": 9,
    "library": 9,
    "svg2chart": 9,  # the package itself: the public names
    "cli __main__": 10,
}
ROW_OF = {room: row for rooms, row in ROWS.items() for room in rooms.split()}

HOMES = {
    "shapely": {"geometry"},
    "xml": {"svg"},
    "tinycss2": {"svg"},
    "cssselect2": {"svg"},
    "fontTools": {"lettering", "pages"},
    "uharfbuzz": {"lettering"},
    "bidi": {"lettering"},
    "font_source_sans_pro": {"lettering", "pages"},
    "pikepdf": {"pages"},
    "PIL": {"picture"},
    "distributed": {"library"},
    "argparse": {"cli"},
    "starlette": {"proof"},
    "uvicorn": {"proof"},
    "watchfiles": {"proof"},
    "anyio": {"proof"},
}
EVERYWHERE = {"numpy"}

# A result that hangs on one of these is not the same on every run; a message that goes there, nobody reads.
NOT_BELOW_CLI = {
    "time",
    "datetime",
    "random",
    "secrets",
    "uuid",
    "tempfile",
    "logging",
    "warnings",
    "locale",
}

# pages.letters and proof.page read what comes with a package, never a file of the user's
OPENERS = {
    "alphabets.reading",
    "cards",
    "pages.letters",
    "svg.read",
    "lettering.fonts",
    "chartfile",
    "info",
    "files",
    "editing.installing",
    "pages.write",
    "proof.page",
    "library.run",
    "library.child",
    "cli.library",
    "cli.help",
    "cli.main",
}
OPENING = {"open", "read_bytes", "read_text", "write_bytes", "write_text"}

TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "svg2chart", "extensions", "tests", "examples"}

MODULES = sorted(PACKAGE.rglob("*.py"))


def name_of(path: Path) -> str:
    parts = path.relative_to(REPO).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


NAMES = {name_of(path): path for path in MODULES}


def room_of(name: str) -> str:
    """Return the top-level module or package, "svg2chart" for the package itself."""
    return name.split(".")[1] if "." in name else name


@cache
def nodes(path: Path) -> tuple[ast.AST, ...]:
    """Return the parts of a module that any of these tests looks at."""
    looked_at = (ast.Import, ast.ImportFrom, ast.FunctionDef, ast.Call)
    return tuple(node for node in ast.walk(ast.parse(path.read_text("utf-8"))) if isinstance(node, looked_at))


@cache
def imports(name: str) -> set[str]:
    """Return the full names of all modules that a module imports, inside functions as well."""
    path, found = NAMES[name], set()
    for node in nodes(path):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: imports are absolute"
            module = node.module or ""
            for alias in node.names:
                whole = f"{module}.{alias.name}"
                found.add(whole if whole in NAMES else module)
    return found


IDS = [path.relative_to(PACKAGE).as_posix() for path in MODULES]


def ours(names: set[str]) -> set[str]:
    return {name for name in names if name.split(".")[0] == "svg2chart"}


@pytest.mark.parametrize("path", MODULES, ids=IDS)
def test_modules_import_only_from_their_row_and_the_rows_above(path: Path) -> None:
    name = name_of(path)
    assert room_of(name) in ROW_OF, f"{name} has no row: give it one here and in DEVELOPERS.md"
    if path.name == "__init__.py" and name == "svg2chart":
        return  # names everything, and loads it only when it is asked for
    for other in ours(imports(name)):
        assert ROW_OF[room_of(other)] <= ROW_OF[room_of(name)], f"{name} imports {other}"


def test_no_module_imports_itself_in_a_circle() -> None:
    graph = {name: ours(imports(name)) - {"svg2chart"} for name in NAMES if name != "svg2chart"}
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        pytest.fail(" -> ".join(error.args[1]))


@pytest.mark.parametrize("path", MODULES, ids=IDS)
def test_third_parties_stay_in_their_rooms(path: Path) -> None:
    name = name_of(path)
    for other in imports(name) - ours(imports(name)):
        package = other.split(".")[0]
        if package in HOMES:
            assert room_of(name) in HOMES[package], f"{name} imports {package}"
        else:
            assert package in EVERYWHERE or package in sys.stdlib_module_names, f"{package} has no room"
        if ROW_OF[room_of(name)] < ROW_OF["cli"]:
            assert package not in NOT_BELOW_CLI, f"{name} imports {package}"


@pytest.mark.parametrize("path", MODULES, ids=IDS)
def test_functions_fit_on_a_screen(path: Path) -> None:
    for node in nodes(path):
        if isinstance(node, ast.FunctionDef):
            words = node.body[0] if ast.get_docstring(node) else None
            documented = (words.end_lineno or 0) - words.lineno + 1 if words else 0
            lines = (node.end_lineno or 0) - node.lineno + 1 - documented
            assert lines <= MOST_FUNCTION_LINES, f"{node.name} has {lines} lines"


@pytest.mark.parametrize("path", MODULES, ids=IDS)
def test_only_few_modules_open_files(path: Path) -> None:
    if name_of(path).removeprefix("svg2chart.") in OPENERS:
        return
    for node in nodes(path):
        if isinstance(node, ast.Call):
            called = getattr(node.func, "attr", getattr(node.func, "id", ""))
            assert called not in OPENING, f"{path}:{node.lineno}: {called}"


@pytest.mark.parametrize("path", MODULES, ids=IDS)
def test_modules_are_small(path: Path) -> None:
    assert len(path.read_text("utf-8").splitlines()) <= MOST_LINES


def test_top_level_of_the_repo_stays_small() -> None:
    ignored = {line.strip("/\n") for line in (REPO / ".gitignore").read_text("utf-8").splitlines()}
    names = {entry.name for entry in REPO.iterdir() if not entry.name.startswith(".")}
    assert names - ignored <= TOP_LEVEL


def test_map_for_developers_names_every_room() -> None:
    text = (REPO / "DEVELOPERS.md").read_text("utf-8")
    rooms = {room_of(name) for name in NAMES}
    assert [room for room in sorted(rooms) if f"`{room}" not in text] == []
