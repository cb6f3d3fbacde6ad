"""What a letter of one plain part has to have."""

from svg2chart.letters.judging import Costs, Wanted
from svg2chart.letters.mirrors import NO_MIRRORS


def one_part(*, ink: float, costs: Costs) -> Wanted:
    """Return that of a part of so much ink without counters, one stroke wide and high."""
    return Wanted(
        parts=1,
        counters=0,
        small=0,
        slight=0,
        strokes=(1, 1),
        mirrors=NO_MIRRORS,
        ink=ink,
        costs=costs,
    )
