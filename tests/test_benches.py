"""The scripts of tests/bench, which no other test runs, follow the package they measure."""

import ast
import importlib
from pathlib import Path

import pytest

SCRIPTS = sorted(path.stem for path in Path(__file__).with_name("bench").glob("*.py"))
OURS = ("svg2chart", "tests")


@pytest.mark.parametrize("script", SCRIPTS)
def test_what_a_script_takes_from_the_package_is_there(script: str) -> None:
    tree = ast.parse(Path(__file__).with_name("bench").joinpath(f"{script}.py").read_text())
    taken = [
        (node.module, alias.name)
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and node.module and node.module.split(".")[0] == "svg2chart"
        for alias in node.names
    ]
    missing = [(m, name) for m, name in taken if not hasattr(importlib.import_module(m), name)]
    assert not missing


@pytest.mark.parametrize("script", SCRIPTS)
def test_a_script_can_be_imported(script: str) -> None:
    try:
        importlib.import_module(f"tests.bench.{script}")
    except ModuleNotFoundError as error:
        if str(error.name).split(".")[0] in OURS:
            raise
        pytest.skip(f"{error.name}, which the script compares with or is led by, is not installed")
