"""Hostile, damaged and outside drawings: an error with a way out, or a drawing, and nothing else."""

import contextlib
import gzip
import hashlib
import re
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.errors import ArtworkError
from svg2chart.octants import sweep
from svg2chart.painting import square_colours
from svg2chart.remarks import Severity
from svg2chart.svg import document, shapes, tally
from svg2chart.svg.read import parse_artwork, read_artwork
from tests.svg.inline import painted, read

DATA = Path(__file__).resolve().parents[3] / "shared" / "data"
SVG = 'xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"'
PLAIN = f'<svg {SVG}><rect id="a" width="5" height="5"/></svg>'.encode()


def test_entities_of_drawing_programs_are_written_out() -> None:
    artwork = parse_artwork(
        b'<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd" ['
        b'<!ENTITY ns_svg "http://www.w3.org/2000/svg"><!ENTITY lamp "fill:#ffd23f">]>'
        b'<svg xmlns="&ns_svg;" viewBox="0 0 10 10"><rect id="a" width="5" height="5" style="&lamp;"/></svg>'
    )
    assert painted(artwork) == [("fill", "a", "#ffd23f")]
    assert artwork.remarks == ()


@pytest.mark.parametrize(
    ("entities", "word"),
    [
        ("".join(f'<!ENTITY e{k + 1} "{f"&e{k};" * 10}">' for k in range(9)), "grows"),
        ('<!ENTITY file SYSTEM "file:///etc/hostname">', "another file"),
        ('<!ENTITY file SYSTEM "http://127.0.0.1:9/x">', "another file"),
    ],
)
def test_entities_that_grow_or_read_files_are_refused(entities: str, word: str) -> None:
    used = "&e9;" if "e9" in entities else "&file;"
    text = f'<!DOCTYPE svg [<!ENTITY e0 "{"lamp" * 100}">{entities}]><svg {SVG}><text>{used}</text></svg>'
    with pytest.raises(ArtworkError, match=word):
        parse_artwork(text.encode())


def test_packed_drawings_are_read_and_bombs_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    packed = gzip.compress(PLAIN, mtime=0)
    assert painted(parse_artwork(packed)) == painted(parse_artwork(PLAIN))
    assert parse_artwork(packed).sha256 == hashlib.sha256(packed).hexdigest()
    monkeypatch.setattr(document, "MAX_BYTES", 1000)
    with pytest.raises(ArtworkError, match="larger than"):
        parse_artwork(gzip.compress(b" " * 2000))


def test_too_many_or_too_deep_elements_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    deep = document.MAX_NESTING
    with pytest.raises(ArtworkError, match="nested"):
        read("<g>" * deep + "</g>" * deep)
    inside = "<g>" * (deep - 2) + '<rect width="1" height="1"/>' + "</g>" * (deep - 2)
    assert len(read(inside).marks) == 1
    monkeypatch.setattr(document, "MAX_ELEMENTS", 10)
    with pytest.raises(ArtworkError, match="more than 10 elements"):
        read("<g/>" * 10)


def test_copies_of_copies_are_refused_beyond_a_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tally, "MAX_DRAWN", 2000)
    copies = [f'<use href="#g{k}"/>' * 10 for k in range(9)]
    levels = "".join(f'<g id="g{k + 1}">{ten}</g>' for k, ten in enumerate(copies))
    with pytest.raises(ArtworkError, match="copies of copies"):
        read(f'<defs><rect id="g0" width="1" height="1"/>{levels}</defs><use href="#g9"/>')


def test_too_many_lines_and_curves_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tally, "MAX_SEGMENTS", 100)
    rows = '<path id="rows" d="M0 0' + "h1v1" * 20 + 'z" fill="red"/>'
    assert len(read(rows).marks) == 1
    with pytest.raises(ArtworkError, match='element "rows": more than 100 lines and curves'):
        read(rows + '<use href="#rows"/>' * 3)
    monkeypatch.setattr(shapes, "MAX_PATH_CHARACTERS", 80)
    with pytest.raises(ArtworkError, match='element "rows": the path data has more than 80 characters'):
        read(rows)


@pytest.mark.filterwarnings("error")
def test_any_number_may_be_none_endless_or_huge() -> None:
    start = SAMPLE.index(b"viewBox")
    for number in re.finditer(rb"[0-9]*\.?[0-9]+", SAMPLE[start:]):
        for odd in (b"NaN", b"1e999", b"1e308", b"-1e308", b"5e-324"):
            data = SAMPLE[: start + number.start()] + odd + SAMPLE[start + number.end() :]
            with contextlib.suppress(ArtworkError):
                artwork = parse_artwork(data)
                assert all(np.isfinite(mark.path.segments).all() for mark in artwork.painted()), data


TRAP = "trap-of-another-file"
ELSEWHERE = f"http://127.0.0.1:9/{TRAP}.svg"
OUTSIDE = f'''<?xml-stylesheet href="{TRAP}.css"?><svg {SVG} xmlns:xlink="http://www.w3.org/1999/xlink">
<style>@import "{TRAP}.css"; @font-face {{font-family: x; src: url({TRAP}.ttf)}}
.a {{fill: url({TRAP}.svg#a)}}</style><rect class="a" width="3" height="3"/>
<image href="{TRAP}.png" width="5" height="5"/><image xlink:href="{ELSEWHERE}" width="5" height="5"/>
<use href="{TRAP}.svg#a"/><use xlink:href="file:///tmp/{TRAP}.svg#a"/>
<rect width="3" height="3" fill="url({ELSEWHERE}#a) red" mask="url({TRAP}.svg#m)"/>
<rect width="3" height="3" clip-path="url({TRAP}.svg#c)" marker-start="url({TRAP}.svg#m)"/>
<linearGradient id="g" href="{TRAP}.svg#g"/><text font-family="x" fill="url(#g)">A</text></svg>'''


def test_nothing_outside_the_drawing_is_opened() -> None:
    touched: list[str] = []

    def watch(event: str, arguments: tuple[object, ...]) -> None:
        if event.startswith("socket.") or (event == "open" and TRAP in str(arguments[0])):
            touched.append(f"{event} {arguments}")

    watching = [watch]  # a hook cannot be taken away again, but told to watch no more
    sys.addaudithook(lambda event, arguments: [look(event, arguments) for look in watching] and None)
    artwork = parse_artwork(OUTSIDE.encode())
    watching.clear()
    assert touched == []
    assert len([r for r in artwork.remarks if r.severity is not Severity.GUESSED]) >= 6


def test_errors_name_the_file_as_it_was_given(tmp_path: Path) -> None:
    gone = tmp_path / "gone.svg"
    with pytest.raises(ArtworkError, match=f"^{re.escape(str(gone))}: "):
        read_artwork(str(gone))
    broken = tmp_path / "broken.svg"
    broken.write_bytes(b"<svg")
    with pytest.raises(ArtworkError, match=f"^{re.escape(str(broken))}: .* line 1"):
        read_artwork(broken)
    with pytest.raises(ArtworkError, match="cannot be read"):
        read_artwork(tmp_path)


SAMPLE = (
    f'<svg {SVG} width="10mm"><style>.a{{fill:red}} g > rect{{stroke:blue}}</style>'
    '<clipPath id="c"><circle cx="5" cy="5" r="4"/></clipPath><linearGradient id="l"><stop offset="0.5"/>'
    '</linearGradient><g clip-path="url(#c)" opacity=".5" transform="translate(1,2) rotate(30)">'
    '<rect class="a" id="r" width="5" height="50%" rx="1" style="stroke-dasharray:1,2%;stroke-width:.1em"/>'
    "</g>"
    '<use href="#r" x="3"/><path d="M1 1A2 3 4 0 1 5 6Q1 2 3 4t1 1z" fill="url(#l) green"/></svg>'
).encode()


@given(st.data())
def test_any_damage_gives_an_error_or_a_drawing(data: st.DataObject) -> None:
    start = data.draw(st.integers(0, len(SAMPLE)))
    end = data.draw(st.integers(start, min(len(SAMPLE), start + 12)))
    put = data.draw(
        st.sampled_from([b"", b"<", b'"', b"1e308", b"-", b"&x;", b"\xff", b"0", b"%", b"))((", b"url(#r)"])
    )
    damaged = SAMPLE[:start] + put + SAMPLE[end:]
    with contextlib.suppress(ArtworkError):
        artwork = parse_artwork(damaged)
        assert all(np.isfinite(mark.path.segments).all() for mark in artwork.painted())


LINE = '<path id="odd" d="M20 20L80 30L50 90" fill="none" stroke="red" stroke-width="{}" {}/>'
ROUND = 'stroke-linecap="round" stroke-linejoin="round"'
TOO_FINE = (
    '<pattern id="p" width=".1" height=".1"><path d="M0 0L10 10" stroke="red" stroke-dasharray="1e-3"/>'
)


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize(
    ("content", "remarked"),
    [
        (LINE.format("1e300", ROUND), "too wide"),
        (LINE.format("5", 'stroke-dasharray="1e308 1e308" stroke-dashoffset="-1e308"'), ""),
        (LINE.format("5", 'stroke-dasharray="7" stroke-dashoffset="3" pathLength="1e-300"'), ""),
        (
            '<marker id="m" markerWidth="1e300" markerHeight="1e300" viewBox="0 0 1e-300 1e-300">'
            '<rect width="5" height="5"/></marker>' + LINE.format("5", 'marker-end="url(#m)"'),
            "could be drawn",
        ),
        (f'{TOO_FINE}</pattern><path id="odd" d="M0 0H9V9Z" fill="url(#p)"/>', "too many shapes"),
        ('<text id="odd" y="90" stroke="red" stroke-width="1e300">A</text>', "too wide"),
    ],
)
def test_sizes_beyond_all_measure_leave_the_rest_of_the_drawing(content: str, remarked: str) -> None:
    artwork = read(content + '<rect y="90" width="10" height="10" fill="#2b5f7d"/>')
    assert square_colours(artwork, 10, 10)[9, 0] * 255 == pytest.approx([0x2B, 0x5F, 0x7D, 255])
    odd = [r.what for r in artwork.remarks if r.element == "odd"]
    assert len(odd) == bool(remarked)
    assert remarked in "".join(odd)


@pytest.mark.filterwarnings("error")
def test_a_pen_that_hides_a_page_however_small_paints_all_of_it() -> None:
    line = f'<path d="M2e-7 2e-7L5e-7 9e-7" stroke="red" stroke-width="1e8" {ROUND}/>'
    opacity = square_colours(read(line, root='viewBox="0 0 1e-6 1e-6"'), 10, 10)[..., 3]
    assert opacity == pytest.approx(1.0)


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize("dashes", ["1e-300", "5e-324 3e-324 0"])
def test_dashes_without_number_are_refused(dashes: str) -> None:
    with pytest.raises(ArtworkError, match="more than 100,000 dashes"):
        square_colours(read(LINE.format("5", f'stroke-dasharray="{dashes}"')), 10, 10)


def test_outlines_that_crowd_in_one_place_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sweep, "MOST_MEETINGS", 100)
    crowd = "".join(f'<circle cx="55" cy="55" r="{1 + k / 10}" opacity=".5"/>' for k in range(20))
    with pytest.raises(ArtworkError, match="so many outlines"):
        square_colours(read(crowd), 10, 10)


def test_the_same_bytes_give_the_same_drawing() -> None:
    assert parse_artwork(SAMPLE) == parse_artwork(SAMPLE)


@pytest.mark.skipif(not DATA.is_dir(), reason="the shared drawings are not there")
@pytest.mark.parametrize("folder", ["art-open/tests", "editor-samples"])
def test_every_outside_drawing_is_read(folder: str) -> None:
    for file in sorted((DATA / folder).rglob("*.svg")):
        artwork = read_artwork(file)
        assert artwork.marks, file.name
