"""A change of a drawing touches what was asked, and every other byte stays."""

from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.artwork import StitchAs
from svg2chart.editing.changes import changed, put_last, taken_out, with_attributes
from svg2chart.editing.layers import without_layer
from svg2chart.editing.marking import told_by, with_told
from svg2chart.errors import ArtworkError
from svg2chart.svg.spans import element_spans, plain_bytes

HARBOUR = b"""<?xml version="1.0" encoding="UTF-8"?>
<!-- an invented harbour -->
<svg xmlns="http://www.w3.org/2000/svg"
   xmlns:ink="http://www.inkscape.org/namespaces/inkscape" viewBox='0 0 20 10'>
  <title>lamps &amp; boats</title>
  <g id="boats" ink:label="Boats > quay"
     fill='#a33'>
    <rect id="hull" x="2" y="6" width="8" height="3"/>
    <text id="name">A<tspan id="last">da</tspan></text>
  </g><path id="mast" d="M6 6V1"   stroke="#333" />
</svg>
"""
IDS = ("boats", "hull", "name", "last", "mast")
values = st.text(st.characters(exclude_categories=("Cs", "Cc")) | st.sampled_from('\n\t"<>&'), max_size=8)


def without(tree: ET.Element, name: str) -> list[tuple[str, dict[str, str], str | None, str | None]]:
    return [
        (e.tag, {key: value for key, value in e.attrib.items() if key != name}, e.text, e.tail)
        for e in tree.iter()
    ]


def test_spans_hold_what_their_tags_hold() -> None:
    spans = {span.attributes.get("id"): span for span in element_spans(HARBOUR)}
    boats, hull, last, mast = (spans[name] for name in ("boats", "hull", "last", "mast"))
    assert HARBOUR[boats.start : boats.opened].endswith(b"fill='#a33'>")
    assert HARBOUR[boats.content_end : boats.end] == b"</g>"
    assert HARBOUR[hull.start : hull.end] == b'<rect id="hull" x="2" y="6" width="8" height="3"/>'
    assert hull.is_empty_tag
    assert HARBOUR[last.opened : last.content_end] == b"da"
    assert HARBOUR[mast.start : mast.end].endswith(b'stroke="#333" />')


@given(st.sampled_from(IDS), values)
def test_an_attribute_that_is_set_is_read_back_and_nothing_else_changes(element: str, value: str) -> None:
    value = value.replace("\ufffe", "").replace("\uffff", "")
    span = next(s for s in element_spans(HARBOUR) if s.attributes.get("id") == element)
    made = changed(HARBOUR, with_attributes(HARBOUR, span, {"data-stitch": value}))
    tree = ET.fromstring(made)
    assert {e.get("id"): e.get("data-stitch") for e in tree.iter() if "data-stitch" in e.attrib} == {
        element: value
    }
    assert without(tree, "data-stitch") == without(ET.fromstring(HARBOUR), "data-stitch")
    again = next(s for s in element_spans(made) if s.attributes.get("id") == element)
    assert changed(made, with_attributes(made, again, {"data-stitch": None})) == HARBOUR


@given(st.lists(st.sampled_from(IDS), min_size=1, unique=True), st.sampled_from(list(StitchAs)))
def test_marks_that_are_set_are_told_and_can_be_taken_away(elements: list[str], kind: StitchAs) -> None:
    made = with_told(HARBOUR, elements, kind)
    assert {told.element: told.stitch_as for told in told_by(made, [])} == dict.fromkeys(elements, kind.value)
    assert with_told(made, elements, kind) == made
    assert with_told(made, elements, None) == HARBOUR


def test_labels_are_told_beside_the_marks() -> None:
    made = with_told(HARBOUR, ["boats"], StitchAs.LEAVE_OUT)
    assert [(told.label, told.stitch_as) for told in told_by(made, ["boats", "hull"])] == [
        ("Boats > quay", "leave-out"),
        ("", ""),
    ]


def test_an_element_that_is_not_there_is_named() -> None:
    with pytest.raises(ArtworkError, match='no element "keel"'):
        with_told(HARBOUR, ["keel"], StitchAs.AREA)


@pytest.mark.parametrize("parent", ["boats", "hull", None])
def test_what_is_put_in_is_taken_out_again(parent: str | None) -> None:
    spans = element_spans(HARBOUR)
    span = next(s for s in spans if s.attributes.get("id") == parent)
    made = changed(HARBOUR, [put_last(HARBOUR, span, '<g id="new"><path/></g>')])
    new = next(s for s in element_spans(made) if s.attributes.get("id") == "new")
    out = changed(made, [taken_out(made, new)])
    assert ET.canonicalize(out, strip_text=True) == ET.canonicalize(HARBOUR, strip_text=True)
    if not span.is_empty_tag:  # a tag that was empty stays open
        assert out == HARBOUR


@pytest.mark.parametrize("line_break", [b"\n", b"\r\n"])
def test_what_stands_on_a_line_of_its_own_is_taken_out_with_its_line(line_break: bytes) -> None:
    drawing = HARBOUR.replace(b"\n", line_break)
    layer = b'  <g data-svg2chart="overlay"/>' + line_break
    assert without_layer(drawing.replace(b"</svg>", layer + b"</svg>"), "overlay") == drawing


def test_layers_of_ours_are_taken_out_and_others_stay() -> None:
    inner = b'<g data-svg2chart="overlay"><g data-svg2chart="overlay"/></g>'
    made = HARBOUR.replace(b"</svg>", inner + b"\n</svg>")
    assert without_layer(made, "overlay") == HARBOUR
    assert without_layer(made, "stitches") == made


@pytest.mark.parametrize(
    ("said", "encoding"),
    [("UTF-16", "utf-16"), ("UTF-16", "utf-16-le"), ("ISO-8859-1", "latin-1"), ("ISO-8859-1", "utf-8-sig")],
    ids=["with a mark", "without a mark", "said", "said after a mark that says another"],
)
def test_a_drawing_in_another_encoding_is_refused(said: str, encoding: str) -> None:
    other = HARBOUR.decode().replace("UTF-8", said).encode(encoding)
    with pytest.raises(ArtworkError, match="not written in UTF-8"):
        plain_bytes(other)


def test_what_is_put_into_a_drawing_in_ascii_can_be_read() -> None:
    ascii_only = HARBOUR.replace(b"UTF-8", b"US-ASCII").replace(b"A<", b"&#196;<")
    data = plain_bytes(ascii_only)
    made = changed(data, with_attributes(data, element_spans(data)[0], {"data-name": "B\u00f6rt"}))
    root = ET.fromstring(made)
    assert root.get("data-name") == "B\u00f6rt"
    assert "\u00c4da" in "".join(root.itertext())
