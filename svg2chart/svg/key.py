"""What a drawing made of a chart keeps of that chart: its squares, its fabric, its threads."""

from collections.abc import Iterator
from math import isfinite
from xml.etree.ElementTree import Element

from svg2chart.artwork import Key
from svg2chart.chart import Fabric, Thread
from svg2chart.remarks import Remark, Severity
from svg2chart.svg.lengths import number


def read_key(root: Element) -> tuple[Key | None, tuple[Remark, ...]]:
    """Return the key that a drawing keeps, None where it keeps none, and what of it cannot be read."""
    if "data-square" not in root.attrib:
        return None, ()
    square = number(root.get("data-square", ""))
    if square is None or not (isfinite(square) and square > 0):
        return None, (_remark("", "the data-square of the drawing is no size of a square"),)
    remarks = []
    extent = root.get("data-extent", "page")
    if extent not in ("page", "drawing"):
        remarks.append(_remark("", "the data-extent of the drawing is neither page nor drawing"))
    fabric = None
    if "data-count" in root.attrib:
        try:
            fabric = Fabric(
                count=int(root.get("data-count", "")),
                over=int(root.get("data-over", "1")),
                colour=root.get("data-cloth", Fabric().colour),
            )
        except ValueError as error:
            remarks.append(_remark("", f"the fabric of the drawing cannot be read ({error})"))
    threads: dict[str, Thread] = {}
    for group in _groups(root):
        try:
            thread = _thread(group)
        except ValueError as error:
            remarks.append(_remark(group.get("id", ""), f"its thread cannot be read ({error})"))
        else:
            threads.setdefault(thread.letter, thread)
    key = Key(square=square, is_whole=extent != "drawing", fabric=fabric, threads=tuple(threads.values()))
    return key, tuple(remarks)


def _groups(root: Element) -> Iterator[Element]:
    return (group for group in root.iter("g") if "data-letter" in group.attrib)


def _thread(group: Element) -> Thread:
    """Return the thread of a layer. Raises ValueError."""
    cross, back = group.get("data-strands", "").split()
    return Thread(
        letter=group.get("data-letter", ""),
        code=group.get("data-code", ""),
        name=group.get("data-name", ""),
        colour=group.get("data-colour", ""),
        symbol=group.get("data-symbol", ""),
        cross_strands=int(cross),
        back_strands=int(back),
    )


def _remark(element: str, what: str) -> Remark:
    return Remark(element=element, what=what, severity=Severity.GUESSED)
