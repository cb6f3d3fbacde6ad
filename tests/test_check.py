"""What the chart of a drawing would not show as drawn."""

import pytest

from svg2chart.artwork import Artwork
from svg2chart.check import Becomes, Check, check_artwork
from svg2chart.convert import convert
from svg2chart.grid import Extent, Grid
from svg2chart.svg.read import parse_artwork

SEA = '<rect id="sea" width="20" height="20" fill="#2a6f97"/>'


def drawn(content: str) -> Artwork:
    return parse_artwork(
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 20 20">{SEA}{content}</svg>'.encode()
    )


def checked(content: str, *, square: float = 1.0, thin: float = 0.67) -> Check:
    """Return the check of shapes on a sea of 20 by 20 units."""
    artwork = drawn(content)
    return check_artwork(artwork, Grid.fit(artwork, square=square, extent=Extent.PAGE, thin=thin))


def told(check: Check) -> list[tuple[str, Becomes]]:
    return [(finding.element, finding.becomes) for finding in check.findings]


def test_a_drawing_on_the_grid_is_clean() -> None:
    check = checked('<rect id="hull" x="2" y="3" width="4" height="5" fill="#a33"/>')
    assert check == Check(columns=20, rows=20, findings=())
    assert check.is_clean


def test_all_remarks_of_the_chart_are_among_the_findings() -> None:
    artwork = drawn(
        '<rect id="hull" x="2" y="3" width="4.3" height="5" fill="#a33" filter="url(#f)"/>'
        '<rect id="spark" x="12.4" y="12.4" width=".2" height=".2" fill="gold"/>'
        '<path id="rope" d="M1 1l.2 .1" stroke="black" stroke-width=".1"/><image id="photo"/>'
    )
    grid = Grid.fit(artwork, square=1.0)
    remarks = {(r.element, r.layer, r.severity.value, r.what) for r in convert(artwork, grid).remarks}
    findings = {(f.element, f.layer, f.becomes.value, f.what) for f in check_artwork(artwork, grid).findings}
    assert {remark[0] for remark in remarks} == {"hull", "spark", "rope", "photo"}
    assert remarks <= findings


@pytest.mark.parametrize(("square", "is_small"), [(0.25, False), (4.0, True)])
def test_what_is_too_small_depends_on_the_size(square: float, *, is_small: bool) -> None:
    check = checked('<rect id="lamp" x="5" y="5" width="1" height="1" fill="gold"/>', square=square)
    assert told(check) == [("lamp", Becomes.LEFT_OUT)] * is_small
    assert check.is_clean is not is_small


def test_thin_strokes_are_replaced_and_wide_ones_are_not() -> None:
    ropes = "".join(
        f'<path id="rope{k}" d="M2 {k + 2}H18" stroke="#fff" stroke-width="{width}"/>'
        for k, width in ((1, 0.3), (5, 1))
    )
    check = checked(ropes.replace("M2 7", "M2 7.5"))
    assert told(check) == [("rope1", Becomes.REPLACED)]
    assert "0.30 squares wide" in check.findings[0].what
    assert check.is_clean
    assert told(checked(ropes.replace("M2 7", "M2 7.5"), thin=0.1, square=1)) != told(check)


def test_a_stroke_told_to_be_backstitch_is_no_finding() -> None:
    rope = '<path id="rope" d="M2 3H18" stroke="#fff" stroke-width=".3" data-stitch="backstitch"/>'
    assert checked(rope).findings == ()


COVER = '<rect id="sail" x="2" y="2" width="9" height="9" fill="white" fill-opacity="{}"/>'


def test_what_lies_wholly_under_others_is_unseen() -> None:
    lamp = '<rect id="lamp" x="4" y="4" width="3" height="3" fill="gold"/>'
    assert told(checked(lamp + COVER.format(1))) == [("lamp", Becomes.UNSEEN)]
    assert told(checked(lamp + COVER.format(0.5))) == []  # it shows through
    assert told(checked(COVER.format(1) + lamp)) == []


def test_an_element_with_one_part_in_sight_is_seen() -> None:
    both = '<path id="lamp" d="M4 4h3v3h-3z M14 4h3v3h-3z" fill="gold"/>'
    outlined = '<rect id="lamp" x="2.5" y="2.5" width="8" height="8" fill="gold" stroke="red"/>'
    assert told(checked(both + COVER.format(1))) == []
    assert ("lamp", Becomes.UNSEEN) not in told(checked(outlined + COVER.format(1).replace('"2"', '"3"')))


def test_findings_stand_by_element_and_those_on_the_whole_come_first() -> None:
    artwork = parse_artwork(
        b'<svg xmlns="http://www.w3.org/2000/svg"><rect id="b" width="9" height="9" filter="url(#f)"/>'
        b'<image id="a"/><path id="b2" d="M0 0H9" stroke="red" stroke-width=".1"/></svg>'
    )
    check = check_artwork(artwork, Grid.fit(artwork, wide=9))
    assert [finding.element for finding in check.findings] == ["", "b", "a", "b2"]


def test_counts_add_up_to_the_findings() -> None:
    check = checked('<image id="a"/><image id="b"/><rect id="c" width="3" height="3" filter="url(#f)"/>')
    assert sum(check.counts().values()) == len(check.findings) == 3
    assert check.counts()[Becomes.LEFT_OUT] == 2


def test_what_is_said_of_several_marks_of_one_element_is_said_once() -> None:
    sparks = '<rect x="{}.4" y="{}.4" width=".2" height=".3" fill="gold"/>'
    copies = (
        f'<defs><g id="g">{sparks.format(3, 3)}{sparks.format(9, 9)}</g></defs><use id="sparks" href="#g"/>'
    )
    gradient = '<linearGradient id="f"><stop stop-color="red"/><stop offset="1"/></linearGradient>'
    hulls = '<rect id="hull" x="2" y="12" width="5" height="4" fill="url(#f)" stroke="url(#f)"/>'
    artwork = drawn(copies + gradient + hulls)
    grid = Grid.fit(artwork, square=1.0, extent=Extent.PAGE, movement=0.0)
    remarks = convert(artwork, grid).remarks
    assert len(set(remarks)) == len(remarks)
    assert [r.what for r in remarks if r.element == "sparks"] == [
        "too small for a stitch, it shows 0.12 of a square, at row 4, column 4 and 1 more place"
    ]
