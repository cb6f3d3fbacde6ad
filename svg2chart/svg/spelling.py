"""The characters of a text as values, each with its style and the place asked for."""

from dataclasses import dataclass, field
from unicodedata import combining

from svg2chart.artwork import Track
from svg2chart.remarks import Severity
from svg2chart.svg.scene import Place


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Holder:
    """The element that holds characters, with what it takes over from those around it.

    name: what to call it in remarks. rise, scripts, baseline: as in a run. lines: the lines along its
    words, each with the place of the element that asks for it. is_lost: the path that they are to
    stand on is not there.
    """

    place: Place
    name: str = ""
    is_kept: bool = False
    rise: float = 0.0
    scripts: tuple[tuple[str, float], ...] = ()
    baseline: str = ""
    lines: tuple[tuple[str, Place], ...] = ()
    track: Track | None = None
    is_lost: bool = False


@dataclass(slots=True)
class Character:
    """One character of a text.

    x, y: where it is to stand, None for where the pen is. dx, dy: how far to move the pen first, None for
    not at all. turn: degrees clockwise. steering: what stands before it and is none of the drawing's own
    characters (module `steering`). is_break: it ends a line in the drawing.
    """

    text: str
    holder: Holder
    steering: str = ""
    x: float | None = None
    y: float | None = None
    dx: float | None = None
    dy: float | None = None
    turn: float | None = None
    is_break: bool = False

    @property
    def is_mark(self) -> bool:
        """Whether it combines with the character before it."""
        return combining(self.text) != 0


@dataclass(frozen=True, slots=True)
class Lengths:
    """Characters from `first` to before `last` that take up a length."""

    first: int
    last: int
    length: float
    has_wider_letters: bool


@dataclass(slots=True)
class Spelling:
    """The characters of a text after white space was collapsed.

    steering: what stands before the next of them. fitted: which of them take up a given length, inner
    elements first. notices: what could not be followed or is not set at all, each once, with the name of
    the element that it is about.
    """

    characters: list[Character] = field(default_factory=list)
    steering: str = ""
    fitted: list[Lengths] = field(default_factory=list)
    notices: dict[tuple[str, str, Severity], None] = field(default_factory=dict)

    def add(self, character: Character) -> None:
        """Add a character, after what steers it; nothing comes between a letter and the marks on it."""
        if not character.is_mark:
            character.steering, self.steering = self.steering, ""
        self.characters.append(character)

    def drop_last(self) -> None:
        """Take the last character away, but not what steers those that follow."""
        self.steering = self.characters.pop().steering + self.steering

    def simplify(self, name: str, what: str) -> None:
        """Note what of an element is not followed."""
        self.notices.setdefault((name, what, Severity.SIMPLIFIED))

    def leave_out(self, name: str, what: str) -> None:
        """Note what of an element is not set."""
        self.notices.setdefault((name, what, Severity.LEFT_OUT))
