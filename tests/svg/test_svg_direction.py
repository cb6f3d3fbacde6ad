"""Words of both directions, in spans that say which way they run, against a second implementation."""

import pytest
from bidi import get_display
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.artwork import Words
from tests.svg.inline import read

OPENING = {
    ("embed", "ltr"): "\u202a",
    ("embed", "rtl"): "\u202b",
    ("isolate", "ltr"): "\u2066",
    ("isolate", "rtl"): "\u2067",
    ("bidi-override", "ltr"): "\u202d",
    ("bidi-override", "rtl"): "\u202e",
    ("isolate-override", "ltr"): "\u2068\u202d",
    ("isolate-override", "rtl"): "\u2068\u202e",
    ("plaintext", "ltr"): "\u2068",
    ("plaintext", "rtl"): "\u2068",
}
CLOSING = {
    "embed": "\u202c",
    "isolate": "\u2069",
    "bidi-override": "\u202c",
    "isolate-override": "\u202c\u2069",
    "plaintext": "\u2069",
}
"""The table of CSS Writing Modes Level 3, 2.4.2."""
UNSEEN = "".join({*"".join(OPENING.values()), *"".join(CLOSING.values())})


def seen(text: str) -> str:
    return "".join(one for one in text if one not in UNSEEN)


def set_as(content: str, attributes: str = "") -> Words:
    """Return the one text of a drawing; the font has no letters of Hebrew, boxes stand for them."""
    artwork = read(f'<text x="50" y="9" style="white-space:pre" {attributes}>{content}</text>')
    (words,) = artwork.marks
    assert isinstance(words, Words)
    assert all("follow" not in remark.what for remark in artwork.every_remark())
    return words


def shown(words: Words) -> str:
    """Return the characters of words from left to right."""
    return seen("".join(one.text for one in sorted(words.letters, key=lambda one: one.place.e)))


def span(asked: str, direction: str, content: str) -> str:
    return f'<tspan direction="{direction}" unicode-bidi="{asked}">{content}</tspan>'


KINDS = sorted(OPENING)
PIECES = st.lists(
    st.tuples(st.sampled_from(KINDS), st.text(alphabet="abאב12 ().", min_size=1, max_size=5)), max_size=4
)


@given(before=st.text(alphabet="abאב ", max_size=3), pieces=PIECES, direction=st.sampled_from(["ltr", "rtl"]))
def test_spans_run_as_the_characters_that_stand_for_them(
    before: str, pieces: list[tuple[tuple[str, str], str]], direction: str
) -> None:
    """Each span holds the next; every letter is first in its paragraph once, so that both see its base."""
    first = {"ltr": "a", "rtl": "א"}[direction] + before
    content, text = "", ""
    for (asked, told), held in reversed(pieces):
        content = span(asked, told, held + content) + "b"
        text = f"{OPENING[asked, told]}{held}{text}{CLOSING[asked]}b"
    found = set_as(first + content, f'direction="{direction}"')
    other = seen(get_display(first + text, base_dir="LR"[direction == "rtl"]))
    assert shown(found).replace(")", "(") == other.replace(")", "(")  # the other writes them mirrored


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        ("\u2067אב 1\u2069, אב", "1 בא, בא"),  # the same text without isolates: "בא ,1 בא"
        ("no. \u202d12 אב\u202c", "no. 12 אב"),
    ],
)
def test_characters_of_the_text_itself_are_followed(content: str, expected: str) -> None:
    assert shown(set_as(content)) == expected


@pytest.mark.parametrize(
    ("attributes", "content", "expected"),
    [
        ('unicode-bidi="bidi-override" direction="rtl"', "boat", "taob"),
        ('unicode-bidi="bidi-override"', "אב ab", "אב ab"),
        ('unicode-bidi="isolate-override" direction="rtl"', "boat", "taob"),
        ('unicode-bidi="plaintext"', "אב ab.", ".ab בא"),
        ('unicode-bidi="plaintext" direction="rtl"', "ab אב.", "ab בא."),
        ('unicode-bidi="embed" direction="rtl"', "ab.", ".ab"),
        ('unicode-bidi="isolate" direction="rtl"', "ab.", ".ab"),
    ],
)
def test_a_whole_text_says_which_way_it_runs(attributes: str, content: str, expected: str) -> None:
    """Source: CSS Writing Modes Level 3, 2.2: the values on what holds whole lines."""
    assert shown(set_as(content, attributes)) == expected


def test_direction_alone_does_not_turn_the_letters_of_a_span() -> None:
    """Source: CSS Writing Modes Level 3, 2.1: it has no effect on them while unicode-bidi is normal."""
    assert shown(set_as('ab <tspan direction="rtl">cd.</tspan>')) == "ab cd."


def test_a_mark_stays_on_its_letter_where_a_span_begins_between_them() -> None:
    words = set_as(f"e{span('bidi-override', 'rtl', chr(0x301) + 'ab')}")
    assert shown(words) == "e\u0301ba"


def test_what_is_isolated_ends_with_its_span_where_that_ends_in_dropped_space() -> None:
    spans = f"<tspan>{span('isolate', 'rtl', 'אב')} </tspan><tspan>12 ab</tspan>"
    path = f'<textPath path="M0 9H80">{spans}</textPath>'
    words = set_as(f'{path}<tspan y="20">, 12</tspan>', 'xml:space="default"')
    assert [run.steering for run in words.runs].count("\u2067") == 1
    assert "".join(run.steering for run in words.runs).endswith("\u2069")


def test_a_value_that_is_not_known_is_told() -> None:
    artwork = read('<text y="9">a<tspan id="odd" unicode-bidi="lost">b</tspan></text>')
    assert any(one.element == "odd" and "unicode-bidi" in one.what for one in artwork.every_remark())
