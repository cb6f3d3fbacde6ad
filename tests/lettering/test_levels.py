"""Which way letters run, against a second implementation and the annex's own examples."""

import pytest
from bidi import get_display
from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.lettering.levels import embedding_levels, starts_leftward, visual_order

BASES = st.sampled_from([0, 1])
STEERING = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
"""LRE, RLE, PDF, LRO, RLO, LRI, RLI, FSI, PDI."""


def reordered(text: str, *, base: int = 0) -> str:
    levels = embedding_levels(text, base=base)
    return "".join(text[index] for index in visual_order(levels))


def seen(text: str) -> str:
    """Return a text without the characters that only steer it."""
    return "".join(one for one in text if one not in STEERING)


@given(st.text(max_size=8), BASES)
def test_every_character_has_a_level(text: str, base: int) -> None:
    levels = embedding_levels(text, base=base)
    assert len(levels) == len(text)
    assert sorted(visual_order(levels)) == list(range(len(text)))


def test_unassigned_characters_do_not_turn_what_is_beside_them() -> None:
    assert embedding_levels("a\u3100b") == [0, 0, 0]


@given(text=st.text(alphabet="abz אבת مرح 0189 .,-+ ٣٤ ()[]\u0301" + STEERING, max_size=20), base=BASES)
@example(text="boats, אבג (1897) end", base=0)
@example(text="אבג, boats (1897)!", base=1)
@example(text="a(ב[ג)b]", base=1)
@example(text="boats \u2067אב, end\u2069, אב", base=0)
@example(text="\u2068אב (1\u2069) b", base=0)
@example(text="\u202eboats \u2066no. 12\u2069 end\u202c now", base=0)
@example(text="\u2067\u202eab\u2069cd\u2069\u202c אב", base=1)
def test_visual_order_is_that_of_another_implementation(text: str, base: int) -> None:
    """With a letter first that runs as the paragraph does: by L2 such white space at the end comes last.

    Where no other letter does, the other implementation leaves it out of turn.
    """
    text = "aא"[base] + text
    assert seen(reordered(text, base=base)) == seen(get_display(text, base_dir="LR"[base]))


@pytest.mark.parametrize("deep", [30, 61, 62, 63, 124, 125, 126, 200])
@pytest.mark.parametrize("opening", ["\u202a", "\u202b", "\u2067", "\u2068", "\u202e\u2066", "\u202b\u202d"])
def test_what_is_embedded_too_deep_is_read_as_what_is_around_it(deep: int, opening: str) -> None:
    """Source: rule BD2, at most 125 levels; and X6a and X7, what was begun too deep ends first."""
    text = "a" + opening * deep + "אב 12" + "\u202c\u2069" * (deep // 2) + "ab 3"
    assert seen(reordered(text)) == seen(get_display(text, base_dir="L"))
    assert max(embedding_levels(text)) <= 126  # 125 and one more by I1 or I2


def test_isolates_are_one_neutral_thing_in_their_text() -> None:
    """Source: UAX 9, 2.4 "Explicit Directional Isolates"; a place of letters by hand."""
    plain, isolated = "אב 3 גד", "אב \u2068ab\u2069 3 גד"
    assert seen(reordered(plain, base=0)) == "דג 3 בא"
    assert seen(reordered(isolated, base=0)) == "דג 3 ab בא"
    assert seen(reordered("אב ab 3 גד", base=0)) == "בא ab 3 דג"


WORDS = st.text(alphabet="abאב ", max_size=4)


@given(before=WORDS, inside=st.text(alphabet="abאב12 ", min_size=1, max_size=6), after=WORDS, base=BASES)
def test_brackets_stand_around_what_they_hold(before: str, inside: str, after: str, base: int) -> None:
    """So a reader takes them, whatever the direction of what is in them and around them."""
    text = f"{before}({inside}){after}"
    order = visual_order(embedding_levels(text, base=base))
    first, last = sorted(order.index(place) for place in (len(before), len(before) + 1 + len(inside)))
    held = range(len(before) + 1, len(before) + 1 + len(inside))
    assert sorted(order[first + 1 : last]) == list(held)


def test_numbers_run_right_within_words_that_run_left() -> None:
    assert reordered("boat אב 12 גד.") == "boat דג 12 בא."


def test_white_space_at_the_end_runs_as_the_paragraph_does() -> None:
    """Source: rule L1."""
    assert reordered("אב ", base=0) == "בא "
    assert reordered("ab ", base=1) == " ab"


def test_steering_characters_have_a_level() -> None:
    assert len(embedding_levels("a\u200fb\u202bc\u202c")) == 6
    assert embedding_levels("") == []


def test_each_paragraph_begins_anew() -> None:
    """Source: rules P1 and X8."""
    one, two = "a\u202eb\u2029", "c אב d"
    assert embedding_levels(one + two) == embedding_levels(one) + embedding_levels(two)


def test_isolated_letters_do_not_say_which_way_a_text_starts() -> None:
    """Source: rules P2 and P3."""
    assert not starts_leftward("\u2067אבג\u2069 boats")
    assert starts_leftward("\u2066boats\u2069\u2069 אבג")
    assert not starts_leftward("12")
