"""What a live page shows: the last good chart, what is wrong with the drawing now, and the settings."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from threading import Lock

from svg2chart.chartfile import chart_bytes
from svg2chart.errors import ChartError
from svg2chart.proof.desk import Desk, DeskError, Drawn
from svg2chart.proof.explain import explain_square
from svg2chart.proof.places import remark_places
from svg2chart.proof.shown import Json, shown_beside


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A chart on the page: its number, from 1, what it was made from, and what the page is told, as JSON."""

    revision: int
    drawn: Drawn
    state: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class News:
    """What has become of the page: the chart's number, 0 for none yet; what is wrong; whether one is made."""

    revision: int = 0
    trouble: str = ""
    busy: bool = False

    @property
    def value(self) -> Json:
        """The same for JSON."""
        return {"revision": self.revision, "trouble": self.trouble, "busy": self.busy}


class Session:
    """One live page. Its methods may be called from several threads; charts are made one after the other."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._making = Lock()
        self._wanted: Mapping[str, str] = {}
        self.shown: Shown | None = None
        self.news = News(busy=True)

    def redraw(self, wanted: Mapping[str, str] | None = None) -> News:
        """Chart the drawing as it is now, and return what became of it.

        A chart that cannot be made leaves the last good one, and the settings that it had.

        Args:
            wanted: settings that the page changes, as text; the others stay as they are.
        """
        with self._making:
            self.news = replace(self.news, busy=True)
            asked = {**self._wanted, **(wanted or {})}
            try:
                self.shown = self._charted(asked)
            except DeskError as error:
                self.news = replace(self.news, trouble=str(error), busy=False)
            else:
                self._wanted = asked
                self.news = News(revision=self.shown.revision)
            return self.news

    def _charted(self, wanted: Mapping[str, str]) -> Shown:
        drawn = self._desk.draw(wanted)
        revision = (self.shown.revision if self.shown else 0) + 1
        try:
            state = _state(revision, drawn, [str(path) for path in self._desk.targets])
        except ChartError as error:  # too large for a chart file, or a symbol that is not there
            raise DeskError(str(error)) from error
        return Shown(revision=revision, drawn=drawn, state=state)

    def explained(self, row: int, column: int) -> Json | None:
        """Return why a square is what it is, None where there is no such square."""
        shown = self.shown
        if shown is None:
            return None
        try:
            told = explain_square(shown.drawn.made, shown.drawn.artwork, row, column)
        except IndexError:
            return None
        return {
            "revision": shown.revision,
            "sentence": told.sentence,
            "as_drawn": round(told.as_drawn, 4),
            "notes": list(told.notes),
            "seen": [
                {
                    "name": seen.name,
                    "colour": seen.colour,
                    "area": round(seen.area, 4),
                    "element": seen.element,
                    "layer": seen.layer,
                }
                for seen in told.seen
            ],
        }

    def write(self, revision: int) -> str:
        """Write the files of the chart that the page shows, and return what was written, on one line.

        Raises DeskError, also where the page shows another chart than the last.
        """
        shown = self.shown
        if shown is None or shown.revision != revision:
            raise DeskError("Another chart is there meanwhile: look at it, and press again")
        with self._making:
            return self._desk.write(shown.drawn)


def _state(revision: int, drawn: Drawn, targets: list[str]) -> bytes:
    """Return all that the page is told about a chart; the chart itself as its chart file."""
    chart, grid, page = drawn.made.chart, drawn.grid, drawn.artwork.viewport
    corners = ((page.left, grid.left), (page.top, grid.top), (page.right, grid.left), (page.bottom, grid.top))
    rest = {
        "revision": revision,
        "beside": shown_beside(chart),
        "ground": {"left": grid.left, "top": grid.top, "square": grid.square},
        "box": [(edge - first) / grid.square for edge, first in corners],
        "places": remark_places(chart.remarks, drawn.made.laid),
        "settings": {**drawn.settings, "wide": str(chart.columns)},
        "targets": targets,
        "told": f"Charted in {drawn.reading + drawn.charting:.2f} s: {_fitted(drawn)}",
        "seconds": {"reading": drawn.reading, "charting": drawn.charting},
    }
    return b'{"chart": ' + chart_bytes(chart) + b", " + json.dumps(rest).encode()[1:]


def _fitted(drawn: Drawn) -> str:
    moved = drawn.made.laid.largest_movement
    return f"fitted to the squares by up to {moved:.2f} of one" if moved else "on the squares as drawn"
