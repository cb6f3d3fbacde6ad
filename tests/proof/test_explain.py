"""Why a square is what it is: the areas against another library, the words against the stitches."""

import pytest
from shapely.geometry import Polygon as Ring
from shapely.geometry import box as square_box

from svg2chart.arranging.patterns import Fractions
from svg2chart.artwork import Artwork, Fill
from svg2chart.convert import Converted, Settings, convert_and_measure
from svg2chart.geometry.polygon import FillRule
from svg2chart.grid import Extent, Grid
from svg2chart.proof.explain import Explained, explain_square
from svg2chart.proof.places import remark_places
from svg2chart.remarks import Remark, Severity
from tests.drawings import BLUE, RED, box, drawing, shape, stroke

HULL = [(2.0, 1.0), (7.5, 1.0), (5.2, 4.6), (3.1, 3.9)]


def unfitted(artwork: Artwork, settings: Settings | None = None) -> Converted:
    """Return the chart of a drawing whose user unit is a square, of which no point is moved."""
    grid = Grid.fit(artwork, square=1.0, extent=Extent.PAGE, movement=0.0)
    return convert_and_measure(artwork, grid, settings or Settings())


def explained(artwork: Artwork, row: int, column: int) -> Explained:
    return explain_square(unfitted(artwork), artwork, row, column)


def boat_on_water() -> Artwork:
    water = shape(BLUE, box(0, 2, 9, 6), element="water")
    return drawing(water, shape(RED, HULL, element="hull"), wide=9, high=6)


def test_areas_are_those_that_shapely_finds() -> None:
    artwork = boat_on_water()
    made = unfitted(artwork)
    hull, water = Ring(HULL), square_box(0, 2, 9, 6)
    for row in range(6):
        for column in range(9):
            square = square_box(column, row, column + 1, row + 1)
            wanted = {"hull": hull.intersection(square).area}
            wanted["water"] = water.difference(hull).intersection(square).area
            wanted[""] = 1 - sum(wanted.values())
            told = explain_square(made, artwork, row, column)
            seen = {seen.element: seen.area for seen in told.seen}
            for element, area in wanted.items():
                assert seen.get(element, 0.0) == pytest.approx(area, abs=0.005)  # less is not told
            assert sum(seen.values()) == pytest.approx(1, abs=0.011)


def test_upper_colour_is_told_first_and_named_by_its_element() -> None:
    """The hull's slanted side halves a square of water: red has the three-quarter, blue the quarter."""
    artwork = drawing(
        shape(BLUE, box(0, 0, 4, 4), element="water"),
        shape(RED, [(0, 0), (4, 0), (0, 4)], element="hull"),
        wide=4,
        high=4,
    )
    told = explained(artwork, 1, 2)
    assert [(seen.element, seen.area) for seen in told.seen] == [("hull", 0.5), ("water", 0.5)]
    assert (
        told.sentence
        == "red 0.50 above dark blue 0.50: three-quarter red with corner top-left over a quarter of dark blue"
    )
    assert told.as_drawn == 1.0


def test_whole_squares_name_the_uppermost_shape() -> None:
    """Three shapes of one colour lie over each other; the uppermost has a hollow."""
    ring = shape(RED, box(0, 0, 5, 5), box(1, 1, 4, 4), element="frame", rule=FillRule.EVENODD)
    artwork = drawing(
        shape(RED, box(0, 0, 5, 5), element="low"),
        shape(RED, box(2, 2, 3, 3), element="middle"),
        ring,
        wide=5,
        high=5,
    )
    found = {place: explained(artwork, *place).seen[0].element for place in ((0, 0), (2, 2), (1, 1), (4, 4))}
    assert found == {(0, 0): "frame", (2, 2): "middle", (1, 1): "low", (4, 4): "frame"}
    assert explained(artwork, 0, 0).sentence == "red 1.00: full red"


def test_bare_cloth_is_told() -> None:
    artwork = drawing(shape(RED, box(0, 0, 2, 2)), wide=3, high=2)
    told = explained(artwork, 0, 2)
    assert (told.sentence, told.as_drawn) == ("bare cloth 1.00: bare cloth", 1.0)


def test_stitches_given_by_hand_and_merged_ones_are_told() -> None:
    from dataclasses import replace

    from svg2chart.artwork import StitchAs

    full = shape(RED, box(1, 1, 2, 2), element="lamp")
    assert isinstance(full, Fill)
    given = drawing(replace(full, stitch_as=StitchAs.FULL), wide=3, high=3)
    assert explained(given, 1, 1).notes == ("given by hand: it stands as drawn",)

    # a sliver of blue that shows a little in one square beside a red block
    artwork = drawing(
        shape(RED, box(0, 0, 6, 6)), shape(BLUE, box(2.2, 2.0, 3.0, 2.6), element="spot"), wide=6, high=6
    )
    made = unfitted(artwork, Settings(calm=2.0, fractions=Fractions.NONE))
    merged = [(one.row, one.column) for one in made.calmed]
    assert merged == [(2, 2)]
    assert explain_square(made, artwork, 2, 2).notes == ("a lone stitch of dark blue was merged here",)
    assert explain_square(made, artwork, 2, 3).notes == ()


@pytest.mark.parametrize(("row", "column"), [(-1, 0), (0, -1), (6, 0), (0, 9)])
def test_squares_that_are_not_there_are_refused(row: int, column: int) -> None:
    with pytest.raises(IndexError):
        explained(boat_on_water(), row, column)


def test_places_of_remarks_are_the_boxes_of_their_elements() -> None:
    artwork = drawing(
        shape(RED, HULL, element="hull"), stroke(BLUE, [(1, 5), (4, 5.5)], element="rope"), wide=9, high=6
    )
    laid = unfitted(artwork).laid
    remarks = [
        Remark(element=element, what="told", severity=Severity.GUESSED)
        for element in ("hull", "rope", "photo", "")
    ]
    assert remark_places(remarks, laid) == (
        (2.0, 1.0, 7.5, pytest.approx(4.6, abs=1e-5)),
        (1.0, 5.0, 4.0, 5.5),
        None,
        None,
    )
