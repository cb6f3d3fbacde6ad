"""Remarks on lines: those that say the same share one, and nothing that one of them says is lost."""

import re

from hypothesis import given
from hypothesis import strategies as st

from svg2chart.remarks import Remark, Severity, gathered, there_are

WHATS = ("too small for a stitch, it shows {:.2f} of a square", "{:.2f} by {:.2f} squares", "not drawn")


@st.composite
def remarks(draw: st.DrawFn) -> list[Remark]:
    """Draw remarks on few layers and elements."""
    measure = st.integers(0, 999).map(lambda n: n / 100)
    return [
        Remark(
            element=draw(st.sampled_from(["", "flag", "hull-2.5", "sail", "rope 3"])),
            layer=draw(st.sampled_from(["", "Boats"])),
            what=draw(st.sampled_from(WHATS)).format(draw(measure), draw(measure)),
            severity=draw(st.sampled_from(Severity)),
        )
        for _ in range(draw(st.integers(0, 8)))
    ]


def kind(remark: Remark) -> tuple[object, ...]:
    """Return all that remarks on one line have in common."""
    return remark.layer, remark.severity, bool(remark.element), re.sub(r"\d\.\d\d", "", remark.what)


@given(remarks())
def test_each_kind_has_a_line_with_all_its_elements_and_measures(found: list[Remark]) -> None:
    kinds = list(dict.fromkeys(map(kind, found)))
    lines = gathered(found)
    assert len(lines) == len(kinds)
    for line, own in zip(lines, kinds, strict=True):
        alike = [remark for remark in found if kind(remark) == own]
        for remark in alike:
            assert f'"{remark.element}"' in line or not remark.element
            measures = [float(value) for value in re.findall(r"\d\.\d\d", line)]
            for value in re.findall(r"\d\.\d\d", remark.what):
                assert min(measures) <= float(value) <= max(measures)


@given(remarks())
def test_a_remark_by_itself_reads_as_it_is(found: list[Remark]) -> None:
    for remark in found:
        assert gathered([remark]) == [str(remark)]


def test_several_share_a_line() -> None:
    stars = [
        Remark(element=f"star-{i}", layer="Sky", what=f"shows {0.04 + 0.02 * i:.2f} of a square", severity=s)
        for i, s in enumerate([Severity.LEFT_OUT, Severity.LEFT_OUT, Severity.SIMPLIFIED])
    ]
    assert gathered(stars) == [
        'elements "star-0", "star-1" in layer "Sky": shows 0.04 to 0.06 of a square (left out)',
        'element "star-2" in layer "Sky": shows 0.08 of a square (simplified)',
    ]


def test_one_remark_is_one() -> None:
    one = Remark(element="sail", what="not drawn", severity=Severity.LEFT_OUT)
    assert [there_are([one] * n) for n in (1, 2)] == ["there is 1 remark", "there are 2 remarks"]


def test_what_is_quoted_is_a_name_and_no_measure() -> None:
    fonts = [
        Remark(element=f"word-{n}", what=f'font "Quay {n}.5" is not there', severity=Severity.GUESSED)
        for n in (1, 2)
    ]
    assert gathered(fonts) == [str(remark) for remark in fonts]
