"""What is decided for all pages together: sizes of type, the designer's words, kits, margin of the cloth."""

from dataclasses import dataclass, field

from svg2chart.chart import Chart
from svg2chart.fabrics import MARGIN_MM
from svg2chart.info import Info
from svg2chart.pages.frame import titled
from svg2chart.pages.style import USUAL, Style


@dataclass(frozen=True, slots=True, kw_only=True)
class Edition:
    """One way of printing a chart.

    kits: for how many pieces it tells what to buy. margin_mm: cloth to cut beyond the stitches on each side.
    """

    style: Style = USUAL
    info: Info = field(default_factory=Info)
    kits: int = 1
    margin_mm: float = MARGIN_MM

    def title(self, chart: Chart) -> str:
        """Return the title on the cover."""
        return titled(self.info.title or chart.title)

    def footer(self, chart: Chart) -> str:
        """Return the words at the foot of every page."""
        version = f"version {self.info.version}" if self.info.version.strip() else ""
        parts = (self.title(chart), self.info.author, version, self.info.contact)
        return " · ".join(" ".join(part.split()) for part in parts if part.strip())
