"""What a face says about its lines: how high letters reach, where lines through and below them lie."""

from dataclasses import dataclass
from functools import lru_cache

from uharfbuzz import OTMetricsTag

from svg2chart.artwork import Run
from svg2chart.lettering.fonts import Face

# where a baseline lies for fonts that do not say it, in shares of the ascent. Source: Chrome's
# layout of SVG text, from memory; SVG 2 leaves it to CSS Inline Layout, which is not settled
_HANGING, _MATHEMATICAL = 0.8, 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Metrics:
    """Heights above the baseline in em, so below it they are negative. Source: OpenType, OS/2, hhea and post.

    underline, strike: the middles of the lines; line_width: their width.
    superscript, subscript: the baselines of raised and lowered letters.
    """

    ascent: float
    descent: float
    x_height: float
    underline: float
    strike: float
    line_width: float
    superscript: float
    subscript: float

    @property
    def middle(self) -> float:
        """Half-way between ascent and descent."""
        return (self.ascent + self.descent) / 2


@lru_cache(maxsize=256)
def metrics_of(face: Face) -> Metrics:
    """Return the metrics of a face; HarfBuzz makes up what it does not say.

    Raises:
        FontError: the file cannot be read any more.
    """

    def height(tag: OTMetricsTag) -> float:
        return float(face.engine.get_metric_position_with_fallback(tag)) / face.units_per_em

    return Metrics(
        ascent=height(OTMetricsTag.HORIZONTAL_ASCENDER),
        descent=height(OTMetricsTag.HORIZONTAL_DESCENDER),
        x_height=height(OTMetricsTag.X_HEIGHT),
        underline=height(OTMetricsTag.UNDERLINE_OFFSET),
        strike=height(OTMetricsTag.STRIKEOUT_OFFSET),
        line_width=height(OTMetricsTag.UNDERLINE_SIZE),
        superscript=height(OTMetricsTag.SUPERSCRIPT_EM_Y_OFFSET),
        subscript=-height(OTMetricsTag.SUBSCRIPT_EM_Y_OFFSET),
    )


def baseline_height(metrics: Metrics, baseline: str) -> float:
    """Return how high above the alphabetic baseline another baseline lies, in em; 0 for unknown ones."""
    heights = {
        "text-before-edge": metrics.ascent,
        "before-edge": metrics.ascent,
        "text-top": metrics.ascent,
        "hanging": metrics.ascent * _HANGING,
        "mathematical": metrics.ascent * _MATHEMATICAL,
        "middle": metrics.x_height / 2,
        "central": metrics.middle,
        "ideographic": metrics.descent,
        "text-after-edge": metrics.descent,
        "after-edge": metrics.descent,
        "text-bottom": metrics.descent,
    }
    return heights.get(baseline, 0.0)


def letters_rise(run: Run, face: Face) -> float:
    """Return how far a run's letters are raised above the line, in the unit of the words."""
    metrics = metrics_of(face)
    heights = {"super": metrics.superscript, "sub": metrics.subscript}
    return run.rise + sum(heights[script] * size for script, size in run.scripts)
