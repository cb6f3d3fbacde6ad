"""What is asked for of a chart, apart from its drawing: the size, the stitches, the threads and the fonts.

One value that the command line fills, that goes to other processes, and that a chart file tells.
"""

import hashlib
from dataclasses import dataclass, replace

from svg2chart.arranging.patterns import Fractions
from svg2chart.artwork import Artwork
from svg2chart.backstitch import LONGEST
from svg2chart.calm import CALM_COST
from svg2chart.cards import HARBOUR, harbour_card
from svg2chart.chart import Fabric, MadeFrom
from svg2chart.convert import Converted, Settings, convert_and_measure
from svg2chart.grid import MOVEMENT_SQUARES, THIN_SQUARES, Extent, Grid
from svg2chart.lettering.fonts import font_sha256
from svg2chart.remarks import Remark, Severity
from svg2chart.room import with_room
from svg2chart.threads import MOST_THREADS, Skein

COUNT_OVER = {1: 14, 2: 28}  # common practice, no source: 14 stitches to the inch, over one or over two
WIDE_UNLESS_TOLD = 80  # squares: five to six inches on the commonest counts

FONTS_SETTING = "fonts_sha256"

Setting = str | int | float | bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """What is asked for of a chart.

    wide, high, square, count: what says the size, at most one; None for what is not asked for.
    over, fabric: threads of the fabric that one stitch spans; threads or blocks to the inch.
    card: the name of the card that `threads` are of, "" for none.
    fonts: font files and folders for the words, before those of the system.
    """

    wide: int | None = None
    high: int | None = None
    square: float | None = None
    count: int | None = None
    page: bool = False
    over: int | None = None
    fabric: int | None = None
    fractions: Fractions = Fractions.ALL
    thin: float = THIN_SQUARES
    fit: float = MOVEMENT_SQUARES
    calm: bool = False
    bands: int = 0
    longest_backstitch: int = LONGEST
    most_threads: int = MOST_THREADS
    card: str = ""
    threads: tuple[Skein, ...] = ()
    fonts: tuple[str, ...] = ()

    @property
    def size(self) -> dict[str, Setting]:
        """What says the size, nothing where nothing is asked for."""
        sizes = {"wide": self.wide, "high": self.high, "square": self.square, "count": self.count}
        return {name: value for name, value in sizes.items() if value is not None}


def make_chart(artwork: Artwork, grid: Grid, request: Request, *, file_name: str, version: str) -> Converted:
    """Return the chart of a drawing with all that it tells of itself, and its measures.

    Args:
        artwork: the drawing.
        grid: its squares, of `grid_of`.
        request: what is asked for.
        file_name: of the drawing: the title of one that has none.
        version: of svg2chart, for the chart file.

    Raises:
        GridError: nothing in it is large enough for a stitch.
        FontError: a font file can no longer be read.
    """
    made = convert_and_measure(artwork, grid, settings_of(artwork, request))
    stem = file_name.rpartition(".")[0] or file_name
    return replace(
        made,
        chart=replace(
            made.chart,
            title=made.chart.title or stem.encode("utf-8", "replace").decode("utf-8"),
            remarks=(*card_remarks(request), *made.chart.remarks),
            made_from=MadeFrom(
                sha256=artwork.sha256,
                settings=tuple(told_settings(artwork, request).items()),
                version=version,
            ),
        ),
    )


def grid_of(artwork: Artwork, request: Request) -> Grid:
    """Return the squares for a drawing. Raises GridError."""
    size = _size_of(artwork, request)
    wide, square = size.get("wide"), size.get("square")
    asked = {"wide": None if wide is None else int(wide), "high": request.high}
    grid = Grid.fit(
        artwork,
        **asked,
        square=None if square is None else float(square),
        count=request.count and request.count / (request.over or 1),
        extent=Extent.PAGE if size["page"] else Extent.DRAWING,
        thin=request.thin,
        movement=request.fit,
    )
    return grid if size["page"] else with_room(artwork, grid, **asked)


def settings_of(artwork: Artwork, request: Request) -> Settings:
    """Return how the drawing is to be worked."""
    return Settings(
        fabric=_fabric_of(artwork, request),
        threads=request.threads,
        fractions=request.fractions,
        longest_backstitch=request.longest_backstitch,
        most_threads=request.most_threads,
        calm=CALM_COST if request.calm else 0.0,
    )


def card_remarks(request: Request) -> tuple[Remark, ...]:
    """Return a remark where the threads are of the built-in card."""
    if not request.card or request.threads != harbour_card():
        return ()
    what = (
        f'the threads are of the built-in card "{HARBOUR}", which is invented: no maker sells them, take'
        " the nearest of your own"
    )
    return (Remark(element="", what=what, severity=Severity.GUESSED),)


def told_settings(artwork: Artwork, request: Request) -> dict[str, Setting]:
    """Return the settings that shape the chart of this drawing, as its chart file tells them.

    What is not asked for is left out where the drawing has no say in it. Cards
    and fonts are told by the SHA-256 of what they hold, fonts only where they are used.
    """
    settings = {**_size_of(artwork, request), "over": _fabric_of(artwork, request).over, **asked(request)}
    return settings | told_fonts(artwork)


def asked(request: Request) -> dict[str, Setting]:
    """Return the settings that shape every chart of this request alike."""
    settings: dict[str, Setting] = {}
    if request.fabric:
        settings["fabric"] = request.fabric
    settings |= {"fractions": request.fractions.value, "thin": request.thin, "fit": request.fit}
    if request.calm:
        settings["calm"] = True
    if request.card:
        settings |= {"card": request.card, "card_sha256": _card_sha256(request.threads)}
    if request.longest_backstitch != LONGEST:
        settings["longest_backstitch"] = request.longest_backstitch
    if request.most_threads != MOST_THREADS:
        settings["most_threads"] = request.most_threads
    if request.bands:
        settings["bands"] = request.bands
    return settings


def told_fonts(artwork: Artwork) -> dict[str, Setting]:
    """Return the fonts that the words are set in, told by what their files hold and not by where they lie."""
    digests = dict.fromkeys(font_sha256(file) for file in artwork.font_files)
    return {FONTS_SETTING: " ".join(digests)} if digests else {}


def _card_sha256(threads: tuple[Skein, ...]) -> str:
    lines = (f"{skein.code}\t{skein.name}\t{skein.colour.hex}\n" for skein in threads)
    return hashlib.sha256("".join(lines).encode()).hexdigest()


def _size_of(artwork: Artwork, request: Request) -> dict[str, Setting]:
    """Return what says the size, and whether it is that of the whole page.

    Where nothing is asked for, a drawing that says on which squares it is drawn is charted on these.
    """
    if request.size or artwork.key is None:
        return {**(request.size or {"wide": WIDE_UNLESS_TOLD}), "page": request.page}
    return {"square": artwork.key.square, "page": artwork.key.is_whole}


def _fabric_of(artwork: Artwork, request: Request) -> Fabric:
    """Return the fabric: where nothing names one, that which the drawing names."""
    named = request.fabric or request.count
    if artwork.key and artwork.key.fabric and not (named or request.over):
        return artwork.key.fabric
    over = request.over or 1
    return Fabric(count=named or COUNT_OVER[over], over=over)
