"""A block of work told step by step: rows out and back, fractions, carries; lines and knots by holes."""

from collections.abc import Sequence
from dataclasses import dataclass

from svg2chart.guiding.legs import HALVES, Hole, Leg, Part, Square
from svg2chart.guiding.names import hole_words, trail_words, way_words
from svg2chart.guiding.order import Block, Carry, Work, touches

_CROSS, _LOWER, _UPPER, _THREE, _QUARTER = "cross", "lower leg", "upper leg", "three-quarter", "quarter"
_SEVERAL = {_CROSS: "crosses", _LOWER: "lower legs", _UPPER: "upper legs"}
OUT_AND_BACK = "out and back"


@dataclass(frozen=True, slots=True)
class _Stretch:
    """Work of one kind along a row, from one column to another; `turn` is a fraction between out and back."""

    kind: str
    row: int
    start: int
    end: int
    turn: str = ""


def tell_steps(block: Block) -> list[str]:
    """Return a block as steps in words; rows and columns count from 1."""
    tell = {Work.CROSSES: _cross_steps, Work.BACKSTITCH: _line_steps, Work.KNOTS: _knot_steps}[block.work]
    return [
        step
        for part in _between_carries(block)
        for step in ([_carry_words(part)] if isinstance(part, Carry) else tell(part))
    ]


def _between_carries(block: Block) -> list[Sequence[Leg] | Carry]:
    parts: list[Sequence[Leg] | Carry] = []
    legs: list[Leg] = []
    for leg in block.legs:
        if legs and not touches(legs[-1], leg):
            parts += [tuple(legs), Carry(legs[-1], leg)]
            legs = []
        legs.append(leg)
    return [*parts, tuple(legs)]


def _cross_steps(part: Sequence[Leg]) -> list[str]:
    return [_stretch_words(stretch) for stretch in _out_and_back(_stretches(part))]


def _carry_words(carry: Carry) -> str:
    """Return where the thread is carried: from square to square, or from hole to hole, as it is counted."""
    here, to = carry.before.square, carry.after.square
    if here is None or to is None:
        (x, y), (to_x, to_y) = carry.before.down, carry.after.up
        goal = f"the hole {hole_words(carry.after.up)}"
        way = way_words((to_x - x) / HALVES, (to_y - y) / HALVES)
    else:
        goal = f"row {to[0] + 1} column {to[1] + 1}"
        way = way_words(to[1] - here[1], to[0] - here[0])
    return f"Carry behind the cloth to {goal} ({way})"


def _stretches(legs: Sequence[Leg]) -> list[_Stretch]:
    """Return the legs in stretches of one kind, each along a row in one direction."""
    found: list[_Stretch] = []
    for kind, (row, column) in _kinds(legs):
        last = found[-1] if found else None
        if last and last.kind == kind and last.row == row and kind in _SEVERAL:
            way = last.end - last.start
            if abs(column - last.end) == 1 and (column - last.end) * way >= 0:
                found[-1] = _Stretch(kind, row, last.start, column)
                continue
        found.append(_Stretch(kind, row, column, column))
    return found


def _kinds(legs: Sequence[Leg]) -> list[tuple[str, Square]]:
    kinds: list[tuple[str, Square]] = []
    for leg in legs:
        if leg.square is None:
            continue
        if leg.part is Part.UPPER and kinds and kinds[-1] == (_LOWER, leg.square):
            kinds[-1] = (_CROSS, leg.square)
        elif leg.part is Part.HALF and kinds:
            kinds[-1] = (_THREE, leg.square)
        else:
            kind = {Part.LOWER: _LOWER, Part.UPPER: _UPPER}.get(leg.part, _QUARTER)
            kinds.append((kind, leg.square))
    return kinds


def _out_and_back(stretches: list[_Stretch]) -> list[_Stretch]:
    """Return the stretches with lower legs, a stitch at the turn and the same upper legs put into one."""
    told: list[_Stretch] = []
    for stretch in stretches:
        told.append(stretch)
        if len(told) < 3 or stretch.kind != _UPPER:
            continue
        out, turn, back = told[-3:]
        beyond = out.end + (1 if turn.start > out.end else -1)
        way = (out.end - out.start) * (beyond - out.end)
        if (
            out.kind == _LOWER
            and turn.kind in (_CROSS, _THREE, _QUARTER)
            and (out.start, out.end) == (back.end, back.start)
            and turn.start == turn.end == beyond
            and way >= 0
            and out.row == turn.row == back.row
        ):
            whole = turn.kind == _CROSS
            end = turn.end if whole else out.end
            fraction = "" if whole else f"{turn.kind} in column {turn.start + 1}"
            told[-3:] = [_Stretch(OUT_AND_BACK, out.row, out.start, end, fraction)]
    return told


def _stretch_words(stretch: _Stretch) -> str:
    is_single = stretch.start == stretch.end
    where = f"columns {stretch.start + 1} to {stretch.end + 1}"
    if stretch.kind == OUT_AND_BACK:
        way = f"column {stretch.start + 1}" if is_single else where
        turn = f", {stretch.turn} at the turn" if stretch.turn else ""
        return f"Row {stretch.row + 1}: {way} out and back{turn}"
    if is_single:
        return f"Row {stretch.row + 1}: {stretch.kind} in column {stretch.start + 1}"
    return f"Row {stretch.row + 1}: {_SEVERAL[stretch.kind]} in {where}"


def _knot_steps(part: Sequence[Leg]) -> list[str]:
    return [f"Knot {hole_words(leg.up)}" for leg in part]


def _line_steps(part: Sequence[Leg]) -> list[str]:
    holes = [part[0].down, *(leg.up for leg in part)]
    bends = [
        hole
        for before, hole, after in zip(holes, holes[1:], holes[2:], strict=False)
        if not _is_straight(before, hole, after)
    ]
    way = trail_words((holes[0], *bends, holes[-1]))
    return [f"{len(part)} {'line' if len(part) == 1 else 'lines'} from {way}"]


def _is_straight(before: Hole, hole: Hole, after: Hole) -> bool:
    right, down = hole[0] - before[0], hole[1] - before[1]
    on_right, on_down = after[0] - hole[0], after[1] - hole[1]
    return right * on_down == down * on_right and right * on_right + down * on_down > 0
