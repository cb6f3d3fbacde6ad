"""The place that an element stands in."""

from dataclasses import fields, replace

from svg2chart.artwork import StitchAs
from svg2chart.geometry.affine import Affine
from svg2chart.letterforms import TextAs
from svg2chart.svg.scene import Context, Place
from svg2chart.svg.style import Style


def test_an_element_takes_over_all_of_its_parents_place_but_what_is_its_own() -> None:
    told = {
        "layer": "lamps",
        "group": 1,
        "clip": 2,
        "name": "boat",
        "uses": ("use",),
        "asked_wide": "3",
        "asked_high": "4",
        "depth": 5,
        "context": Context(None, None),
        "stitch_as": StitchAs.KNOT,
        "text_as": TextAs.AS_DRAWN,
    }
    place = Place(to_user=Affine(), style=Style(), wide=6.0, high=7.0, **told)
    untold = {f.name for f in fields(Place)} - told.keys() - {"to_user", "style", "wide", "high"}
    assert untold == set()  # a new field is to be carried over and named here
    style, to_user = Style(font_size=9.0), Affine.scaling(2)
    inner = place.inside(style=style, to_user=to_user, stitch_as=None, text_as=None)
    assert inner == replace(place, style=style, to_user=to_user, stitch_as=None, text_as=None, depth=6)
