"""Addresses in the designer's words are links, and lead where the words say."""

import io

import pytest
from pypdf import PdfReader

from svg2chart.info import Info
from svg2chart.pages.addresses import with_links
from svg2chart.pages.edition import Edition
from svg2chart.pages.sheet import Address, Link, Text
from svg2chart.pages.write import pages_pdf
from tests.pages.samples import harbour


@pytest.mark.parametrize(
    ("words", "uris"),
    [
        ("Write to post@example.org.", ["mailto:post@example.org"]),
        (
            "a.b+c@mail.example.org, or see (https://example.org/lamps?n=1).",
            ["mailto:a.b+c@mail.example.org", "https://example.org/lamps?n=1"],
        ),
        ("https://example.org/ in June", ["https://example.org/"]),
        ("Two lamps @ 3 pounds", []),
        ("http:// is no address, nor is a@b", []),
        ("A line of words.", []),
    ],
)
def test_what_is_an_address(words: str, uris: list[str]) -> None:
    marks = with_links(Text(x=10.0, y=20.0, text=words, size=3.6))
    links = [mark for mark in marks if isinstance(mark, Link)]
    assert [link.target for link in links] == [Address(uri) for uri in uris]
    pieces = [piece for mark in marks for piece in (mark.marks if isinstance(mark, Link) else (mark,))]
    assert "".join(piece.text for piece in pieces if isinstance(piece, Text)) == words


def test_links_lie_over_their_words() -> None:
    """Read back by pypdf: the address of the contact, on the page of the designer's words."""
    info = Info(contact="post@example.org", words="Enjoy it.")
    reader = PdfReader(io.BytesIO(pages_pdf(harbour(8, 8, colours=2), edition=Edition(info=info))))
    page = reader.pages[reader.page_labels.index("Words")]
    [link] = [annotation.get_object() for annotation in page["/Annots"]]
    assert link["/A"]["/URI"] == "mailto:post@example.org"
    found = []
    page.extract_text(visitor_text=lambda text, _m, place, _f, _s: found.append((text.strip(), place)))
    # in the paragraph, not at the foot of the page, where the contact stands among other words
    [(x, y)] = [(place[4], place[5]) for text, place in found if text == "post@example.org"]
    left, low, right, top = (float(value) for value in link["/Rect"])
    assert left == pytest.approx(x, abs=0.5)
    assert low < y < top
    assert right - left > 50
