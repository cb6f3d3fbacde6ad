"""Outlined drawings of a harbour town's festival, all invented: fill and thin stroke on one element.

Sixty units across; the stroke is one unit wide, half a square at thirty squares. They lie as drawn: no point
was put on a grid.
"""

HEAD = """<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 60"><style>
* {{ stroke: #22324f; stroke-width: 1; stroke-linejoin: round; stroke-linecap: round }}
.r {{ fill: #c23a32 }} .g {{ fill: #f2b632 }} .s {{ fill: #f6dfa4 }} .b {{ fill: #2f7f9f }}
.f {{ fill: #8cc7d1 }} .w {{ fill: #7a4e2d }} .l {{ fill: #4d8b57 }} .n {{ fill: none }}
.o {{ fill: #e27a35 }} .p {{ fill: #ffffff }}</style>{}</svg>"""

SHAPES = {
    "boat": """
<path id="a" class="s" d="M 29 5 C 38 14 44 24 46 36 H 29 Z"/>
<path id="b" class="r" d="M 26 12 C 20 20 15 28 13 36 H 26 Z"/>
<path id="c" class="w" d="M 5 41 H 55 C 53 49 48 54 42 56 H 17 C 11 53 7 48 5 41 Z"/>
<path id="d" class="n" d="M 27.6 3 V 41"/>
""",
    "lighthouse": """
<path id="a" class="p" d="M 22 20 H 38 L 42 55 H 18 Z"/>
<path id="b" class="r" d="M 21 29 L 39 29 L 40 38 H 20 Z"/>
<rect id="c" class="g" x="24" y="11" width="12" height="9"/>
<path id="d" class="r" d="M 22 11 L 30 4 L 38 11 Z"/>
<path id="e" class="l" d="M 6 55 C 14 49 46 49 54 55 Z"/>
""",
    "lamp": """
<path id="a" class="w" d="M 24 8 H 36 L 40 15 H 20 Z"/>
<path id="b" class="g" d="M 18 15 H 42 L 46 38 H 14 Z"/>
<path id="c" class="w" d="M 14 38 H 46 L 41 46 H 19 Z"/>
<path id="d" class="n" d="M 30 8 V 2"/>
<ellipse id="e" class="s" cx="30" cy="27" rx="5.5" ry="8"/>
""",
    "buoy": """
<path id="a" class="r" d="M 21 40 L 26 13 H 34 L 39 40 Z"/>
<circle id="b" class="g" cx="30" cy="8" r="5"/>
<path id="c" class="p" d="M 24 24 L 36 24 L 37.3 31 H 22.7 Z"/>
<ellipse id="d" class="b" cx="30" cy="46" rx="24" ry="8"/>
""",
    "anchor": """
<circle id="a" class="n" cx="30" cy="9" r="5"/>
<path id="b" class="b" d="M 27 14 H 33 V 44 C 40 43 44 38 45 32 L 41 33 L 48 23 L 54 34 L 50 33 C 48
  46 40 54 30 56 C 20 54 12 46 10 33 L 6 34 L 12 23 L 19 33 L 15 32 C 16 38 20 43 27 44 Z"/>
<path id="c" class="n" d="M 19 21 H 41"/>
""",
    "fish": """
<path id="a" class="o" d="M 4 31 C 12 16 32 12 44 28 L 56 18 C 53 27 53 35 56 44 L 44 34 C 32 50 12
  46 4 31 Z"/>
<path id="b" class="n" d="M 19 22 C 23 28 23 34 19 40"/>
<circle id="c" class="p" cx="12.5" cy="28" r="2.6"/>
""",
    "gull": """
<path id="a" class="p" d="M 3 20 C 12 10 22 14 29 27 C 36 13 47 9 57 17 C 48 18 41 24 37 34 C 34 41
  26 42 22 35 C 18 26 11 20 3 20 Z"/>
<path id="b" class="g" d="M 24 38 L 19 46 L 28 41 Z"/>
""",
    "crab": """
<ellipse id="a" class="r" cx="30" cy="36" rx="18" ry="12"/>
<path id="b" class="r" d="M 12 30 C 4 26 3 16 9 11 L 12 18 L 17 13 C 20 20 19 26 16 28 Z"/>
<path id="c" class="r" d="M 48 30 C 56 26 57 16 51 11 L 48 18 L 43 13 C 40 20 41 26 44 28 Z"/>
<path id="d" class="n" d="M 15 44 L 8 53 M 22 47 L 18 56 M 38 47 L 42 56 M 45 44 L 52 53"/>
""",
    "star": """
<path id="a" class="g" d="M 30 4 L 37.5 22 L 57 23.5 L 42 36 L 47 55 L 30 44.5 L 13 55 L 18 36 L 3
  23.5 L 22.5 22 Z"/>
""",
    "shell": """
<path id="a" class="s" d="M 30 55 C 20 55 20 50 22 47 C 8 42 3 28 8 17 C 12 8 22 4 30 4 C 38 4 48 8
  52 17 C 57 28 52 42 38 47 C 40 50 40 55 30 55 Z"/>
<path id="b" class="n" d="M 25 47 L 14 15 M 30 47 V 8 M 35 47 L 46 15"/>
""",
    "bunting": """
<path id="a" class="r" d="M 4 12 L 19 16 L 9 32 Z"/>
<path id="b" class="g" d="M 22 17 L 38 17 L 30 35 Z"/>
<path id="c" class="b" d="M 41 16 L 56 12 L 51 32 Z"/>
<path id="d" class="n" d="M 2 11.3 C 18 18 42 18 58 11.3"/>
""",
    "drum": """
<path id="a" class="r" d="M 8 20 V 44 C 14 54 46 54 52 44 V 20 Z"/>
<ellipse id="b" class="s" cx="30" cy="20" rx="22" ry="8"/>
<path id="c" class="n" d="M 8 24 L 17 49 L 25 28 L 33 51 L 41 27 L 47 48 L 52 24"/>
""",
    "kite": """
<path id="a" class="f" d="M 30 3 L 48 22 L 30 45 L 12 22 Z"/>
<path id="b" class="n" d="M 30 3 V 45 M 12 22 H 48"/>
<path id="c" class="n" d="M 30 45 C 38 48 38 53 30 54 S 20 58 24 59"/>
""",
    "house": """
<rect id="a" class="s" x="10" y="26" width="40" height="30"/>
<path id="b" class="r" d="M 5 27 L 30 6 L 55 27 Z"/>
<rect id="c" class="w" x="25" y="38" width="10" height="18"/>
<rect id="d" class="f" x="14" y="33" width="7" height="8"/>
<rect id="e" class="f" x="39" y="33" width="7" height="8"/>
""",
    "barrel": """
<path id="a" class="w" d="M 15 6 H 45 C 52 20 52 40 45 54 H 15 C 8 40 8 20 15 6 Z"/>
<path id="b" class="g" d="M 12 17 H 48 L 49.4 23 H 10.6 Z"/>
<path id="c" class="g" d="M 10.6 38 H 49.4 L 48 44 H 12 Z"/>
""",
    "lifebuoy": """
<path id="a" class="r" fill-rule="evenodd" d="M 30 5 A 25 25 0 0 1 30 55 A 25 25 0 0 1 30 5 Z M 30
  18 A 12 12 0 0 0 30 42 A 12 12 0 0 0 30 18 Z"/>
<path id="b" class="p" d="M 25 5.5 H 35 V 19 H 25 Z M 25 41 H 35 V 54.5 H 25 Z"/>
""",
    "cup": """
<path id="a" class="p" d="M 10 18 H 44 C 44 38 40 50 33 52 H 21 C 14 50 10 38 10 18 Z"/>
<path id="b" class="n" d="M 44 23 C 56 21 56 38 41.6 39"/>
<ellipse id="c" class="w" cx="27" cy="18" rx="17" ry="4.5"/>
<path id="d" class="n" d="M 20 11 C 17 8 23 6 20 2 M 32 11 C 29 8 35 6 32 2"/>
""",
    "cake": """
<path id="a" class="s" d="M 8 32 H 52 V 54 H 8 Z"/>
<path id="b" class="r" d="M 8 32 C 8 26 52 26 52 32 V 38 C 48 44 44 36 40 39 C 36 43 33 36 29 40 C
  25 44 21 36 17 39 C 13 42 11 38 8 39 Z"/>
<rect id="c" class="f" x="28" y="13" width="4.5" height="14.5"/>
<path id="d" class="g" d="M 30 4 C 34 8 33.5 12 30 12 C 26.5 12 26 8 30 4 Z"/>
""",
    "moon": """
<path id="a" class="g" d="M 38 5 C 20 8 10 24 15 39 C 20 53 36 58 49 50 C 36 50 27 42 26 30 C 25 20
  30 10 38 5 Z"/>
""",
    "balloon": """
<ellipse id="a" class="r" cx="30" cy="22" rx="17" ry="19.5"/>
<path id="b" class="r" d="M 30 41.5 L 26.5 46 H 33.5 Z"/>
<path id="c" class="n" d="M 30 46 C 36 50 24 54 30 59"/>
""",
    "whale": """
<path id="a" class="b" d="M 4 34 C 6 20 24 16 36 24 C 42 28 46 30 49 24 C 45 22 43 18 44 14 C 48 14
  51 16 52 19 C 53 16 55 14 58 14 C 58 20 56 23 53 24 C 54 38 44 50 28 50 C 12 50 4 44 4 34 Z"/>
<path id="b" class="f" d="M 7 43 C 16 39 28 41 36 48.7 C 24 52 12 49 7 43 Z"/>
<path id="c" class="n" d="M 20 19 C 20 13 15 12 13 9 M 20 13 C 22 9 25 9 27 7"/>
""",
    "heart": """
<path id="a" class="r" d="M 30 54 C 12 42 4 30 5 20 C 6 8 24 4 30 17 C 36 4 54 8 55 20 C 56 30 48 42
  30 54 Z"/>
""",
    "tree": """
<path id="a" class="w" d="M 26 42 H 34 V 56 H 26 Z"/>
<path id="b" class="l" d="M 30 3 L 43 19 H 37 L 48 32 H 40 L 52 46 H 8 L 20 32 H 12 L 23 19 H 17
  Z"/>
""",
    "umbrella": """
<path id="a" class="o" d="M 5 28 C 7 12 18 5 30 5 C 42 5 53 12 55 28 C 50 24 44 24 40 28 C 36 24 24
  24 20 28 C 16 24 10 24 5 28 Z"/>
<path id="b" class="n" d="M 30 25 V 50 C 30 57 39 57 39 50"/>
<path id="c" class="n" d="M 20 28 C 21 18 25 9 30 5 C 35 9 39 18 40 28"/>
""",
}

DRAWINGS = {name: HEAD.format(shapes) for name, shapes in SHAPES.items()}
