"""The public names: all there, whatever was imported before them."""

import importlib
import re
import shutil
from pathlib import Path

import pytest

import svg2chart


@pytest.mark.parametrize("name", svg2chart.__all__)
def test_every_public_name_is_there(name: str) -> None:
    assert getattr(svg2chart, name) is not None
    assert name in dir(svg2chart)


def test_convert_stays_the_function_after_its_module_is_imported() -> None:
    module = importlib.import_module("svg2chart.convert")
    assert svg2chart.convert is module.convert


def test_python_of_the_readme_runs_as_it_stands(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    repo = Path(__file__).parents[1]
    found = re.search("```python\n(.*?)```", (repo / "README.md").read_text("utf-8"), re.DOTALL)
    assert found is not None
    shutil.copy(repo / "examples" / "lamp.svg", tmp_path / "boats.svg")
    monkeypatch.chdir(tmp_path)
    names: dict[str, object] = {}
    exec(found[1], names)
    assert svg2chart.read_chart(tmp_path / "boats.chart.json") == names["chart"]
    assert (tmp_path / "boats.pdf").read_bytes().startswith(b"%PDF-")


def test_unknown_names_are_told() -> None:
    with pytest.raises(AttributeError, match="no attribute 'sew'"):
        _ = svg2chart.sew
