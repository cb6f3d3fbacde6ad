"""What a chart file tells of the request: all that decides the chart, and nothing else."""

import hashlib
from pathlib import Path

import font_source_sans_pro

from svg2chart.lettering.fonts import read_fonts
from svg2chart.request import Request, told_settings
from svg2chart.svg.read import parse_artwork

WORDS = "<text y='8' font-family='Lamp' font-size='8'>Quay</text>"
CLIPPED = f"<clipPath id='words'>{WORDS}</clipPath><rect width='30' height='10' clip-path='url(#words)'/>"
ART = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 30 10"><rect width="5" height="5"/>{}</svg>'


def told(inside: str, fonts: list[str]) -> dict[str, object]:
    artwork = parse_artwork(ART.format(inside).encode(), fonts=read_fonts(fonts))
    return dict(told_settings(artwork, Request(fonts=tuple(fonts))))


def test_fonts_are_told_by_what_they_hold_and_only_where_they_have_a_say(tmp_path: Path) -> None:
    own = Path(font_source_sans_pro.font_files_otf["SourceSansProBold"])
    copies = [tmp_path / "here.otf", tmp_path / "there" / "moved.otf"]
    copies[1].parent.mkdir()
    for copy in copies:
        copy.write_bytes(own.read_bytes())
    digest = hashlib.sha256(own.read_bytes()).hexdigest()
    for inside in (WORDS, CLIPPED):
        text = inside.replace("Lamp", "Source Sans Pro").replace("<text", "<text font-weight='bold'")
        here, there = (told(text, [str(copy)]) for copy in copies)
        assert here == there
        assert here["fonts_sha256"] == digest
    assert told(WORDS, [])["fonts_sha256"] != digest  # the family is missing, the regular face stands in
    assert "fonts_sha256" not in told("", [str(copies[0])])
