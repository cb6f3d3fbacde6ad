"""The main job: a drawing, a grid and settings to a chart. Pure: no files, no globals."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from svg2chart.arranging.measure import Energy
from svg2chart.arranging.patterns import Fractions
from svg2chart.artwork import Artwork, Fill, StitchAs, Stroke, Words
from svg2chart.assembly import assemble
from svg2chart.backstitch import LONGEST, Outlined, work_backstitch
from svg2chart.calm import Calmed, calm_stitches
from svg2chart.chart import Chart, Fabric, MadeFrom, StitchKind, Thread
from svg2chart.colour import Colour
from svg2chart.fewstitches import threads_of_few
from svg2chart.fit import Laid, lay_on_grid
from svg2chart.geometry.cut import is_inside, windings
from svg2chart.given import Decided, see_decided, with_given
from svg2chart.grid import Grid
from svg2chart.lettering.small import remarks_on_small
from svg2chart.lines.as_drawn import Knotted, knots_as_drawn, with_lines_as_drawn
from svg2chart.lines.edges import StitchedEdges
from svg2chart.lines.knots import with_discs
from svg2chart.octants.areas import VisibleAreas
from svg2chart.palette import Palette, choose_palette
from svg2chart.remarks import Remark, Severity, place_of
from svg2chart.shortfall import shortfalls
from svg2chart.stitches import Worked, energy_of, work_stitches
from svg2chart.threads import MOST_THREADS, Difference, Skein

if TYPE_CHECKING:
    from svg2chart.lettering.fonts import Fonts

CAPITAL_EM = 0.7
"""Height of a capital in units of the font size; measured faces have 0.66 to 0.73."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """How a drawing is worked; `convert` tells what they mean."""

    fabric: Fabric | None = None
    threads: tuple[Skein, ...] = ()
    fractions: Fractions = Fractions.ALL
    longest_backstitch: int = LONGEST
    most_threads: int = MOST_THREADS
    calm: float = 0.0

    def __post_init__(self) -> None:
        if not 1 <= self.most_threads <= MOST_THREADS:
            raise ValueError(f"a chart has 1 to {MOST_THREADS} threads, not {self.most_threads}")


PLAIN = Settings()
"""As a drawing is worked where nothing is asked for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Converted:
    """A chart and what it was decided on.

    laid: the drawing as it was laid on the grid. worked: its stitches, their threads numbered as the palette
    has them. given: squares (row, column) that hold stitches given by hand. calmed: lone stitches merged.
    """

    chart: Chart
    laid: Laid
    worked: Worked
    palette: Palette
    given: frozenset[tuple[int, int]]
    calmed: tuple[Calmed, ...]

    @property
    def energy(self) -> Energy:
        """The energy of its stitches, measured when it is asked for."""
        return energy_of(self.worked, self.palette.areas, self.palette.looks)

    @property
    def difference(self) -> Difference:
        """How far its threads are from the colours of the drawing."""
        return self.palette.chosen.difference


def convert(
    artwork: Artwork,
    grid: Grid,
    *,
    fonts: "Fonts | None" = None,
    fabric: Fabric | None = None,
    threads: Sequence[Skein] = (),
    fractions: Fractions = Fractions.ALL,
    longest_backstitch: int = LONGEST,
    most_threads: int = MOST_THREADS,
    calm: float = 0.0,
) -> Chart:
    """Return the chart of a drawing.

    Args:
        artwork: the drawing.
        grid: the squares it is laid on; strokes thinner than `grid.thin` become backstitch.
        fonts: sets the words again in these fonts; without, they stay as they were read.
        fabric: the cloth; without, that which the drawing names, or 14 count.
        threads: the card to choose from; without, each colour is a thread of its own, or that of the
            drawing's key which has the colour.
        fractions: which fractions of a cross may be used; none where the cloth has no holes for them.
        longest_backstitch: how far one backstitch may reach in either direction, in squares.
        most_threads: how many threads there may be, 1 to MOST_THREADS.
        calm: what merging one lone stitch may cost, in wholly wrong squares; CALM_COST is a good measure.

    Raises:
        GridError: nothing in the drawing is large enough for a stitch.
    """
    settings = Settings(
        fabric=fabric,
        threads=tuple(threads),
        fractions=fractions,
        longest_backstitch=longest_backstitch,
        most_threads=most_threads,
        calm=calm,
    )
    artwork = artwork if fonts is None else with_fonts(artwork, fonts)
    return convert_and_measure(artwork, grid, settings).chart


def convert_and_measure(artwork: Artwork, grid: Grid, settings: Settings) -> Converted:
    """Return the chart that `convert` makes, and what it was decided on. Raises GridError."""
    fabric = settings.fabric or (artwork.key and artwork.key.fabric) or Fabric()
    known = artwork.key.threads if artwork.key and not settings.threads else ()
    fractions, refused = _possible(settings.fractions, fabric)
    artwork = _with_fitted_words(artwork, grid, fractions)
    laid = lay_on_grid(artwork, grid)
    decided, areas = see_decided(laid, artwork.groups, rows=grid.rows, columns=grid.columns)
    palette = _palette(areas, decided, settings, fabric, known)
    worked = work_stitches(palette.areas, palette.looks, fractions=fractions, apart=laid.apart)
    worked, no_room = with_given(worked, decided, palette.areas, palette.thread_of)
    calm, longest = settings.calm, settings.longest_backstitch
    worked, calmed = calm_stitches(worked, palette.areas, palette.looks, most=calm, fixed=decided.squares)
    laid = decided.laid  # by whose shapes everything is told from here on
    outlined = _outlined(worked, laid, palette.thread_of, fractions=fractions, longest=longest)
    knotted = _knotted(laid, grid, palette.thread_of)
    remarks = (*artwork.every_remark(), *palette.remarks(), *_small_words(artwork, grid), *refused)
    remarks += (
        *shortfalls(worked, decided, areas, palette, artwork, grid),
        *(*_calmed(calmed, palette, laid), *decided.remarks, *_without_middles(decided, fabric), *no_room),
        *outlined.remarks,
        *knotted.remarks,
    )
    chart = assemble(
        worked,
        outlined,
        knotted.knots,
        palette.chosen.skeins,
        title=artwork.title,
        fabric=fabric,
        remarks=tuple(dict.fromkeys(remarks)),  # as when several strokes of one element are alike
        known=known,
    )
    return Converted(
        chart=_finished(chart, artwork, palette, decided, is_calm=calm > 0),
        laid=laid,
        worked=worked,
        palette=palette,
        given=decided.squares,
        calmed=calmed,
    )


def _finished(chart: Chart, artwork: Artwork, palette: Palette, decided: Decided, *, is_calm: bool) -> Chart:
    """Return the chart with what it was made from, and what is told of few stitches where none was merged."""
    few = () if is_calm else threads_of_few(chart, palette, decided)
    return replace(chart, made_from=MadeFrom(sha256=artwork.sha256), remarks=(*chart.remarks, *few))


def _palette(
    areas: VisibleAreas, decided: Decided, settings: Settings, fabric: Fabric, known: Sequence[Thread]
) -> Palette:
    return choose_palette(
        areas,
        decided,
        cloth=Colour.from_hex(fabric.colour),
        card=settings.threads,
        most=settings.most_threads,
        kept=[Colour.from_hex(thread.colour) for thread in known],
    )


def _with_fitted_words(artwork: Artwork, grid: Grid, fractions: Fractions) -> Artwork:
    """Return the drawing with its words fitted; their stitches stand where all fractions may be used."""
    if not any(isinstance(mark, Words) for mark in artwork.marks):
        return artwork
    from svg2chart.letters.in_drawings import with_fitted_words  # most drawings have no words

    return with_fitted_words(artwork, grid, stands=fractions is Fractions.ALL)


def _knotted(laid: Laid, grid: Grid, thread_of: Mapping[Colour, int]) -> Knotted:
    """Return the knots: those put by hand, and those of small discs."""
    told = [dot for dot in laid.dots if dot.stitch_as is StitchAs.KNOT]
    discs = [dot for dot in laid.dots if dot.stitch_as is None]
    knotted = knots_as_drawn(told, thread_of)
    return with_discs(knotted, discs, thread_of, rows=grid.rows, columns=grid.columns)


def _possible(fractions: Fractions, fabric: Fabric) -> tuple[Fractions, tuple[Remark, ...]]:
    """Return which fractions the fabric has holes for, and a remark where it has none."""
    if fabric.has_middles or fractions is Fractions.NONE:
        return fractions, ()
    what = (
        "no three-quarter and quarter stitches but those given by hand: over one thread of"
        f" {fabric.count} count fabric there is no hole in the middle of a square"
    )
    return Fractions.NONE, (Remark(element="", what=what, severity=Severity.SIMPLIFIED),)


def _without_middles(decided: Decided, fabric: Fabric) -> tuple[Remark, ...]:
    """Return a remark on fractions that stand as they are given, though the fabric has no holes for them."""
    given = [stitch for stitch in decided.given if stitch.kind is not StitchKind.FULL]
    if fabric.has_middles or not given:
        return ()
    mark, more = decided.laid.marks[given[0].order], len(given) - 1
    what = (
        f"a fraction of a cross given by hand{f', and {more} more' if more else ''}: it stands, though there"
        " is no hole in the middle of its square; over two threads there is (--over 2)"
    )
    return (Remark(element=mark.element, layer=mark.layer, what=what, severity=Severity.SIMPLIFIED),)


def with_fonts(artwork: Artwork, fonts: "Fonts") -> Artwork:
    """Return the drawing with its words set in the fonts."""
    from svg2chart.lettering.words import set_words  # with it come libraries that most drawings do not need

    marks = (set_words(mark, fonts) if isinstance(mark, Words) else mark for mark in artwork.marks)
    return replace(artwork, marks=tuple(marks))


def _outlined(
    worked: Worked, laid: Laid, thread_of: Mapping[Colour, int], *, fractions: Fractions, longest: int
) -> Outlined:
    """Return the backstitch: after the stitches, whose edges outlines lie on."""
    plain = [line for line in laid.lines if line.stitch_as is not StitchAs.BACKSTITCH_AS_DRAWN]
    outlined = work_backstitch(
        plain,
        [thread_of[line.colour] for line in plain],
        edges=StitchedEdges.of(worked.squares, worked.arrangements),
        fractions=fractions,
        longest=longest,
    )
    return with_lines_as_drawn(outlined, laid.lines, thread_of)


def _calmed(calmed: Sequence[Calmed], palette: Palette, laid: Laid) -> list[Remark]:
    """Return a remark for each lone stitch that was merged, with its place as the printed chart counts."""
    remarks = []
    for one in calmed:
        mark = laid.marks[one.order] if one.order >= 0 else _filling(one, palette, laid)
        thread, *held = [palette.looks[t + 1].hex for t in (one.thread, *(s.thread for s in one.becomes))]
        into = " and ".join(dict.fromkeys(held)) or "bare cloth"
        what = f"lone stitch of {thread} in {place_of((one.row, one.column))} is merged into {into}"
        element, layer = (mark.element, mark.layer) if mark else ("", "")
        remarks.append(Remark(element=element, layer=layer, what=what, severity=Severity.SIMPLIFIED))
    return remarks


def _filling(one: Calmed, palette: Palette, laid: Laid) -> Fill | Stroke | None:
    """Return the uppermost mark of a stitch's thread that covers the middle of its square, which it fills."""
    middle = np.array([[one.column + 0.5, one.row + 0.5]])
    for shape, mark in zip(laid.shapes[::-1], laid.marks[::-1], strict=True):
        outline, paint = shape.polygon, mark.colour
        number = palette.number_of.get((paint.red, paint.green, paint.blue, 1.0))
        if number == one.thread + 1 and is_inside(windings(middle, outline.edges()), outline.rule)[0]:
            return mark
    return None


def _small_words(artwork: Artwork, grid: Grid) -> list[Remark]:
    """Return a remark for each text element whose capitals are lower than letters on a grid need."""
    remarks: list[Remark] = []
    for words in artwork.marks:
        if isinstance(words, Words) and any(mark.stitch_as is None for mark in words.outlines):
            size = min(run.size for run in words.runs) * words.to_user.mean_scale
            high = CAPITAL_EM * size / grid.square
            remarks += remarks_on_small(high, element=words.element, layer=words.layer)
    return remarks
