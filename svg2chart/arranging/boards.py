"""What every square of a chart shows, and what it would cost if it showed something else.

Several boards of one chart lie one below the other in flat arrays, so that one look-up serves them all. Each
has a rim of bare squares, at the bottom and right two wide: holes have the numbers of the squares below and
right of them, and the energy at the holes around any square has to lie on its own board.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.borders import (
    ACROSS,
    COUNT_AT_SIDE,
    FACES,
    FACING_SIDES,
    OWN,
    PIECES,
    SIDES,
    WHOLE_SIDES,
    Bytes,
    Words,
    any_byte,
    as_bits,
    as_words,
    borders,
    byte_of,
    corner_steps,
    diagonals,
    facing_steps,
    side_steps,
    window_steps,
)
from svg2chart.arranging.candidates import Candidates
from svg2chart.arranging.patterns import COST_UNIT, LENGTH_UNIT
from svg2chart.arranging.saws import (
    Longs,
    hole_codes,
    odd_sides,
    saws_along,
    saws_around,
    steps_to_saws,
    turns_beyond,
)

Ints = NDArray[np.int64]
Lengths = NDArray[np.int32]
_Kind = TypeVar("_Kind", bound=np.generic)

EDGE_COST = round(0.20 * COST_UNIT / LENGTH_UNIT)

# half of half a side: what one square has of one pair of facing octants. No square has lines 2,000 long: what
# lengths there are fits in 32 bits
_QUARTER = np.int32(LENGTH_UNIT // 4)

BORDER_LENGTHS = np.bitwise_count(np.arange(256)) * _QUARTER
"""(256,) the length of line that a square has of its sides, by border, in LENGTH_UNIT."""

_ROWS_AROUND = 3  # before and after all boards: steps of three rows from any square lead somewhere
# which row of `Around.beside` holds, by side and border
_BESIDE = COUNT_AT_SIDE.astype(np.int64) + 3 * np.arange(4)[:, None]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Around:
    """What lies around n undecided squares, as far as the cost of their candidates depends on it.

    alike: which octants face one that shows each local colour.
    room: how long lines of the square's own may be before they cost.
    beside: (12, n) how much too long each neighbour's lines are where no, one or both octants there differ.
    corners: other squares' pieces of edge at the corners. beyond: see `saws`.
    odd: at which octants a neighbour's odd quarter would go on, by local colour.
    """

    alike: Words
    room: Lengths
    beside: Lengths
    corners: Words
    beyond: Longs
    odd: Words


class Boards:
    """The boards: what is shown, lengths of line, holes, and the candidate of every undecided square.

    squares: (k * m,) where the m undecided squares of each of the k boards lie.
    chosen: (k * m,) their candidates.
    """

    def __init__(self, candidates: Candidates, solid: Ints, allowance: Ints, starts: Sequence[Ints]) -> None:
        """Lay out a board for each start, which has a candidate for each undecided square.

        Args:
            candidates: of the undecided squares.
            solid: (rows, columns) the colour of the decided squares.
            allowance: (rows + 2, columns + 2) the drawing's own edge around each square, in LENGTH_UNIT.
            starts: a candidate for each undecided square, by board.
        """
        self.candidates, self.count = candidates, len(starts)
        self.high, self.wide = int(solid.shape[0]) + 3, int(solid.shape[1]) + 3
        row, column = np.divmod(candidates.squares, solid.shape[1])
        first = (row + 1 + _ROWS_AROUND) * self.wide + column + 1
        self.squares = np.concatenate([first + board * self.size for board in range(self.count)])
        self.steps_to_saws = steps_to_saws(self.wide)
        self.square = np.tile(np.arange(len(first)), self.count)
        kind = np.min_scalar_type(int(max(solid.max(initial=0), candidates.locals.max(initial=0))))
        self.locals = np.ascontiguousarray(candidates.locals.T, kind)
        plain = np.pad(solid, ((1, 2), (1, 2))).astype(kind)
        octants = np.broadcast_to(plain, (8, *plain.shape))
        border = borders(octants)
        self.shown = np.tile(self._laid_out(plain), (8, 1))
        self.border = self._laid_out(border)
        self.codes = self._laid_out(hole_codes(border, diagonals(octants)))
        self.allowance = self._laid_out(np.pad(allowance, ((0, 1), (0, 1))).astype(np.int32))
        self.inner = candidates.patterns.inner.astype(np.int32)
        self.slack = self.allowance.copy()
        self.cost = np.zeros(len(self.border), np.int64)
        self.odd, self.odd_sides = np.zeros(len(self.border), kind), np.zeros(len(self.border), np.uint8)
        self.chosen = np.concatenate(starts)
        self.show(np.arange(len(self.squares)), self.chosen)

    @property
    def size(self) -> int:
        """How many squares a board has."""
        return self.high * self.wide

    def _laid_out(self, one: NDArray[_Kind]) -> NDArray[_Kind]:
        before = np.zeros(_ROWS_AROUND * self.wide, one.dtype)
        return np.concatenate([before, *[one.ravel()] * self.count, before])

    def show(self, places: Ints, entries: Ints) -> None:
        """Show these candidates in these of the undecided squares."""
        c = self.candidates
        squares, square, pattern = self.squares[places], self.square[places], c.pattern[entries]
        self.chosen[places] = entries
        shown = self.locals[c.patterns.shown.T[:, pattern], square]
        self.shown[:, squares] = shown
        self.cost[squares] = c.cost[entries]
        self.slack[squares] = self.allowance[squares] - self.inner[pattern]
        self.odd[squares] = self.locals[c.patterns.odd[pattern], square]
        self.odd_sides[squares] = c.patterns.odd_sides[pattern]
        border = as_bits(shown != self._facing(squares))
        self.border[squares] = border
        for side, step in enumerate(side_steps(self.wide)):
            beside = squares + step
            kept = self.border[beside] & ~FACING_SIDES[side]
            self.border[beside] = kept | ACROSS[side].take(border)
        pieces = PIECES.take(border) | c.patterns.diagonals[pattern]
        for corner, step in enumerate(corner_steps(self.wide)):
            hole = squares + step
            self.codes[hole] = (self.codes[hole] & ~OWN[corner]) | byte_of(pieces, corner)

    def _facing(self, squares: Ints) -> NDArray[np.unsignedinteger]:
        steps = FACES * len(self.border) + facing_steps(self.wide)
        return self.shown.take(squares + steps[:, None])

    def places_near(self, places: Ints) -> Ints:
        """Return the undecided squares within two steps of these, themselves among them."""
        dense = np.zeros(len(self.border), np.bool_)
        dense[self.squares[places] + window_steps(self.wide, -2, 2)[:, None]] = True
        return np.flatnonzero(dense.take(self.squares))

    def energies(self) -> Ints:
        """Return the energy of each board, in COST_UNIT."""
        # where no edge is and nothing was chosen that costs, there is none
        squares = np.flatnonzero(self.border | self.codes | (self.cost > 0))
        board = (squares - _ROWS_AROUND * self.wide) // self.size
        total = np.zeros(self.count, np.int64)
        for _, energy in self.parts():
            np.add.at(total, board, energy(squares))
        return total

    def parts(self) -> list[tuple[Ints, Callable[[Ints], Ints]]]:
        """Return the parts of the energy: what each is at squares, and holes, and at which steps from them.

        The first is of squares and depends on what they and their neighbours show. The others are the saws
        along edges that leave holes in one direction.
        """
        own = (np.append(side_steps(self.wide), 0), self._of_squares)
        saws = [
            (step, partial(self._of_saws, direction)) for direction, step in enumerate(self.steps_to_saws)
        ]
        return [own, *saws]

    def _of_squares(self, squares: Ints) -> Ints:
        over = np.maximum(BORDER_LENGTHS.take(self.border.take(squares)) - self.slack.take(squares), 0)
        cost = self.cost.take(squares) + EDGE_COST * over.astype(np.int64)
        odd = np.flatnonzero(self.odd_sides.take(squares))
        at = squares[odd]
        cost[odd] += self.candidates.saw_cost * odd_sides(self.odd[at], self.odd_sides[at], self._facing(at))
        return np.asarray(cost)

    def _of_saws(self, direction: int, holes: Ints) -> Ints:
        return self.candidates.saw_cost * saws_along(direction, self.codes, holes, self.wide)

    def around(self, places: Ints) -> Around:
        """Return what lies around undecided squares."""
        squares, local = self.squares[places], self.locals[:, self.square[places]]
        beside = squares + side_steps(self.wide)[:, None]
        kept = self.border.take(beside) & ~FACING_SIDES[:, None]
        room = self.slack.take(beside) - BORDER_LENGTHS.take(kept)
        over = np.maximum(np.arange(3, dtype=np.int32)[:, None] * _QUARTER - room[:, None], 0)
        corners = self.codes.take(squares + corner_steps(self.wide)[:, None]) & ~OWN[:, None]
        return Around(
            alike=as_words(as_bits(self._facing(squares)[:, None] == local)),
            room=self.allowance[squares],
            beside=over.reshape(12, -1),
            corners=as_words(corners),
            beyond=turns_beyond(self.codes, squares, self.wide),
            odd=as_words(self._going_on(beside, local)),
        )

    def _going_on(self, beside: Ints, local: NDArray[np.unsignedinteger]) -> Bytes:
        """Return (4, n) the octants at sides where the neighbour has an odd quarter of each local colour."""
        result = np.zeros(local.shape, np.uint8)
        odd = self.odd_sides.take(beside) & FACING_SIDES[:, None]
        for side in range(4):
            those = np.flatnonzero(odd[side])
            same = self.odd[beside[side, those]] == local[:, those]
            result[:, those] |= same * SIDES[side]
        return result

    def costs(self, around: Around, owner: Ints, entries: Ints) -> Ints:
        """Return what candidates cost where they are.

        Args:
            around: of some squares.
            owner: (n,) whose candidate each is, an index into those.
            entries: (n,) the candidates.
        """
        c = self.candidates
        pattern = c.pattern[entries]
        bits = c.patterns.bits[pattern]
        alike = around.alike[owner]
        border = ~any_byte(alike & bits)
        over = np.maximum(self.inner[pattern] + BORDER_LENGTHS.take(border) - around.room[owner], 0)
        rows = _BESIDE * len(around.room)
        for side in range(4):
            over += around.beside.take(rows[side].take(border) + owner)
        cost = c.cost[entries] + EDGE_COST * over.astype(np.int64)
        if c.saw_cost:
            corners = around.corners[owner] | PIECES.take(border) | c.patterns.diagonals[pattern]
            saws = saws_around(corners, around.beyond[owner])
            saws += WHOLE_SIDES.take(any_byte(around.odd[owner] & bits))
            odd = np.flatnonzero(c.patterns.odd_sides[pattern])
            facing = alike[odd] >> (8 * c.patterns.odd[pattern[odd]]).astype(np.uint32)
            saws[odd] += WHOLE_SIDES.take(facing.astype(np.uint8) & c.patterns.odd_sides[pattern[odd]])
            cost += c.saw_cost * saws.astype(np.int64)
        return np.asarray(cost)
