"""More candidate marks for the symbols: figures of blocks, bars and discs, and leaning ones."""

from svg2chart.symbol_drawing import (
    REACH,
    Contour,
    Symbol,
    arc,
    bar,
    block,
    disc,
    four_ways,
    hollow,
    leaning,
    line,
    regular,
    solid,
    turned,
    two_ways,
)


def _barred() -> list[Symbol]:
    """Return marks of bars, with blocks and discs beside them."""
    trio = tuple(block(x, 0.14, x + 0.16, 0.86) for x in (0.13, 0.42, 0.71))
    block_and_post = (block(0.14, 0.14, 0.32, 0.86), block(0.5, 0.3, 0.86, 0.7))
    beam_and_dots = (
        block(0.14, 0.42, 0.86, 0.58),
        *(disc(0.11, at=(x, y)) for x in (0.26, 0.74) for y in (0.24, 0.76)),
    )
    plus = (block(0.44, 0.13, 0.56, 0.87), block(0.13, 0.44, 0.87, 0.56))
    tee = (bar((0.15, 0.21), (0.85, 0.21), 0.14), bar((0.5, 0.2), (0.5, 0.87), 0.14))
    beam_and_disc = (block(0.14, 0.62, 0.86, 0.86), disc(0.19, at=(0.5, 0.33)))
    return [
        *two_ways("broad-trio", trio),
        *four_ways("post-block", block_and_post),
        *two_ways("beam-dots", beam_and_dots),
        Symbol("plus-dots", (*plus, *(disc(0.09, at=(x, y)) for x in (0.24, 0.76) for y in (0.24, 0.76)))),
        *four_ways("beam-disc", beam_and_disc),
        *(leaning(symbol) for symbol in four_ways("tee", tee)[1:2]),
    ]


def _angled() -> list[Symbol]:
    """Return marks of right angles."""
    angles = (
        *line((0.2, 0.55), (0.2, 0.2), (0.55, 0.2), width=0.14),
        *line((0.45, 0.8), (0.8, 0.8), (0.8, 0.45), width=0.14),
    )
    brackets = (
        *line((0.45, 0.18), (0.19, 0.18), (0.19, 0.82), (0.45, 0.82)),
        *line((0.55, 0.18), (0.81, 0.18), (0.81, 0.82), (0.55, 0.82)),
    )
    angle_dot = (*line((0.2, 0.86), (0.2, 0.2), (0.86, 0.2), width=0.15), disc(0.16, at=(0.64, 0.64)))
    ell = (block(0.14, 0.14, 0.38, 0.86), block(0.38, 0.62, 0.86, 0.86))
    table = (block(0.13, 0.14, 0.87, 0.34), block(0.19, 0.3, 0.35, 0.86), block(0.65, 0.3, 0.81, 0.86))
    box = (block(0.13, 0.13, 0.87, 0.87), hollow(block(0.22, 0.22, 0.78, 0.78)))
    return [
        *two_ways("angles", angles),
        *two_ways("brackets", brackets),
        *four_ways("angle-dot", angle_dot),
        *four_ways("ell", ell)[1:],
        *four_ways("table", table)[::2],
        Symbol("box-in-box", (*box, block(0.36, 0.36, 0.64, 0.64))),
        Symbol("diamond-in-box", (*box, regular(4, 0.24))),
    ]


def _spread() -> list[Symbol]:
    """Return marks of several equal parts."""
    blade = solid(((0.5, 0.5), (0.2, 0.14), (0.5, 0.14)))
    inner = solid(((0.5, 0.46), (0.28, 0.14), (0.72, 0.14)))
    two_one = (
        block(0.14, 0.14, 0.42, 0.42),
        block(0.58, 0.14, 0.86, 0.42),
        block(0.36, 0.58, 0.64, 0.86),
    )
    knot = (
        solid(((0.13, 0.2), (0.45, 0.5), (0.13, 0.8))),
        solid(((0.87, 0.2), (0.55, 0.5), (0.87, 0.8))),
        disc(0.12),
    )
    third = (0.22, 0.5, 0.78)
    return [
        Symbol("propeller", _four_times(blade)),
        Symbol("four-triangles", _four_times(inner)),
        Symbol("nine-dots", tuple(disc(0.1, at=(x, y)) for x in third for y in third)),
        *four_ways("two-one", two_one),
        Symbol("knot", knot),
        leaning(Symbol("knot", knot)),
    ]


def _four_times(contour: Contour) -> tuple[Contour, ...]:
    return tuple(turned((contour,), quarters)[0] for quarters in range(4))


def _seaside() -> list[Symbol]:
    """Return marks that look like things one sees on a quay."""
    sail = (
        solid(((0.46, 0.13), (0.46, 0.64), (0.14, 0.64))),
        solid(((0.56, 0.25), (0.84, 0.64), (0.56, 0.64))),
        block(0.14, 0.72, 0.86, 0.86),
    )
    umbrella = (
        solid(arc(REACH, -90, 90)),
        block(0.45, 0.45, 0.55, 0.8),
        *line((0.5, 0.8), (0.7, 0.8), (0.7, 0.68), width=0.1),
    )
    sun = (
        solid(arc(0.2, -90, 90, at=(0.5, 0.72))),
        block(0.14, 0.74, 0.86, 0.86),
        bar((0.5, 0.14), (0.5, 0.42)),
        bar((0.17, 0.3), (0.33, 0.5)),
        bar((0.83, 0.3), (0.67, 0.5)),
    )
    return [
        *four_ways("sails", sail),
        *four_ways("umbrella", umbrella),
        *four_ways("sun", sun),
        *(leaning(symbol) for symbol in four_ways("umbrella", umbrella)),
    ]


def _ashore() -> list[Symbol]:
    """Return marks of few plain figures, and leaning ones."""
    cone = (solid(((0.14, 0.14), (0.86, 0.14), (0.5, 0.55))), disc(0.14, at=(0.5, 0.73)))
    notched = (solid(((0.5, 0.5), *arc(REACH, 135, 405))),)
    boat = (
        solid(((0.14, 0.62), (0.86, 0.62), (0.7, 0.85), (0.3, 0.85))),
        solid(((0.52, 0.14), (0.8, 0.54), (0.52, 0.54))),
    )
    flag = (bar((0.3, 0.13), (0.3, 0.87)), solid(((0.3, 0.13), (0.84, 0.34), (0.3, 0.55))))
    kite = (solid(((0.5, 0.13), (0.82, 0.84), (0.5, 0.66), (0.18, 0.84))),)
    tree = (
        solid(((0.5, 0.13), (0.72, 0.42), (0.28, 0.42))),
        solid(((0.5, 0.3), (0.84, 0.7), (0.16, 0.7))),
        block(0.42, 0.65, 0.58, 0.87),
    )
    arch = (
        solid((*arc(REACH, -90, 90, at=(0.5, 0.7)), *arc(0.26, 90, -90, at=(0.5, 0.7)))),
        solid(arc(0.15, -90, 90, at=(0.5, 0.7))),
    )
    return [
        *four_ways("cone", cone),
        *four_ways("notched-disc", notched),
        *four_ways("tree", tree),
        *four_ways("arch", arch),
        leaning(Symbol("boat", boat)),
        leaning(Symbol("flag", flag)),
        *(leaning(symbol) for symbol in four_ways("kite", kite)),
    ]


FIGURES: tuple[Symbol, ...] = (*_barred(), *_angled(), *_spread(), *_seaside(), *_ashore())
"""All of these marks."""
