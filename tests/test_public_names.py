"""The public names: all there, whatever was imported before them."""

import importlib

import pytest

import svg2chart


@pytest.mark.parametrize("name", svg2chart.__all__)
def test_every_public_name_is_there(name: str) -> None:
    assert getattr(svg2chart, name) is not None
    assert name in dir(svg2chart)


def test_convert_stays_the_function_after_its_module_is_imported() -> None:
    module = importlib.import_module("svg2chart.convert")
    assert svg2chart.convert is module.convert


def test_unknown_names_are_told() -> None:
    with pytest.raises(AttributeError, match="no attribute 'sew'"):
        _ = svg2chart.sew
