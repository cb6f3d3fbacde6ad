"""What is found in a folder, and that no two drawings share the name of their results."""

import os
import unicodedata
from pathlib import Path

from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.library.drawings import find_drawings, result_stems
from tests.library.folders import fleet

E = "\N{LATIN SMALL LETTER E WITH ACUTE}"
PIECES = st.sampled_from(["a", "A", "lamp", "LAMP", E, "e\N{COMBINING ACUTE ACCENT}", "~", "."])
NAMES = st.builds(
    lambda pieces, ending: "".join(pieces) + ending,
    st.lists(PIECES, min_size=1, max_size=3),
    st.sampled_from([".svg", ".SVG", ".svgz", ".svg.svg", ".svgz.svg"]),
)


def same_on_some_system(stem: str) -> str:
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", stem).casefold())


@given(st.lists(NAMES, unique=True))
@example(["boat.svg", "boat.svgz", "boat.svg.svg", "Boat.svg"])
def test_no_two_drawings_have_the_same_results_on_any_file_system(names: list[str]) -> None:
    stems = result_stems(sorted(names), reserved=["lamp"])
    assert len({same_on_some_system(stem) for stem in [*stems, "lamp"]}) == len(names) + 1


@given(st.lists(NAMES, unique=True), st.randoms(use_true_random=False))
def test_the_order_of_names_does_not_matter(names: list[str], chance: "st.random.Random") -> None:
    shuffled = list(names)
    chance.shuffle(shuffled)
    first = dict(zip(names, result_stems(names), strict=True))
    assert dict(zip(shuffled, result_stems(shuffled), strict=True)) == first


def test_a_folder_is_walked_whole_but_no_ring_and_nothing_hidden(tmp_path: Path) -> None:
    names = [
        "b.svg",
        "a/z.svg",
        "a/b/c.SVGZ",
        f"a b/{E}.svg",
        "line\nbreak.svg",
    ]
    folder = fleet(tmp_path / "art", [*names, ".hidden.svg", ".git/x.svg", "notes.txt", "out/old.svg"])
    (folder / "a" / "ring").symlink_to(folder, target_is_directory=True)
    (folder / "loop.svg").symlink_to("loop.svg")
    found = find_drawings(folder, results=folder / "out", reserved=["b"])
    assert [drawing.name for drawing in found.drawings] == sorted(
        [*names, "loop.svg"], key=lambda name: name.split("/")
    )
    assert {d.name: d.stem for d in found.drawings}["b.svg"] == "b.svg"  # "b" is reserved
    assert found.passed_over == (("a/ring", "a link to a folder is not followed"),)


def test_names_of_any_bytes_are_found(tmp_path: Path) -> None:
    folder = os.fsencode(tmp_path)
    with open(folder + b"/\xff.svg", "wb"):
        pass
    [drawing] = find_drawings(tmp_path, results=tmp_path / "out").drawings
    assert os.fsencode(drawing.stem) == b"\xff"
