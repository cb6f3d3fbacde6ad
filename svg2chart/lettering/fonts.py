"""Font files: which families they hold, read at first no further than their names."""

import hashlib
import os
import struct
import subprocess
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields, replace
from functools import cache, cached_property
from io import BytesIO
from itertools import chain
from pathlib import Path
from typing import Any

import font_source_sans_pro
import uharfbuzz
from fontTools.ttLib import TTFont, TTLibError, woff2

from svg2chart.errors import FontError

_BROTLI_ERRORS: tuple[type[Exception], ...] = (woff2.brotli.error,) if woff2.haveBrotli else ()
_SUFFIXES = frozenset({".ttf", ".otf", ".ttc", ".otc", ".woff", ".woff2"})
_OUTLINE_TABLES = ("glyf", "CFF ", "CFF2")
_COLOUR_TABLES = ("COLR", "SVG ", "CBDT", "sbix")
_SIGNATURES = (b"\0\1\0\0", b"OTTO", b"true")  # Source: OpenType, organization of an OpenType font
# per cent of normal for each usWidthClass. Source: OpenType, OS/2 table
_WIDTHS = dict(enumerate((50.0, 62.5, 75.0, 87.5, 100.0, 112.5, 125.0, 150.0, 200.0), start=1))
_NEEDED_TABLES = ("cmap", "head", "hmtx", "maxp")
_FOLDERS = (  # where systems keep fonts, for those without fc-list
    "/usr/share/fonts",
    "/usr/local/share/fonts",
    "~/.local/share/fonts",
    "~/.fonts",
    "/System/Library/Fonts",
    "/Library/Fonts",
    "~/Library/Fonts",
    "C:/Windows/Fonts",
)


@dataclass(frozen=True, kw_only=True)
class Face:
    """One face of a font file; its characters and outlines are read when they are asked for.

    family: its name for people; `names`: all names that a drawing may call it by, lower case.
    weight: 1 to 1000, 400 regular. width: per cent of normal.
    axes: of a variable font: tag, least and greatest value. variation: what they are set to.
    is_drawn: whether it has outlines at all; colour pictures do not count.
    has_colours: whether its letters have colours of their own, which we do not draw.
    """

    file: str
    index: int
    family: str
    names: tuple[str, ...]
    weight: int
    italic: bool
    width: float = 100.0
    axes: tuple[tuple[str, float, float], ...] = ()
    is_drawn: bool = True
    has_colours: bool = False
    variation: tuple[tuple[str, float], ...] = ()

    def __getstate__(self) -> dict[str, Any]:
        """Return the fields only: what was loaded stays behind when a face goes to another process."""
        return {field.name: getattr(self, field.name) for field in fields(self)}

    def styled(self, *, weight: int, italic: bool, width: float = 100.0) -> "Face":
        """Return a variable face set to weight, slant and width as far as it goes, any other as it is."""
        if not self.axes:
            return self
        axes = {tag: (least, greatest) for tag, least, greatest in self.axes}
        set_to = dict(self.variation)
        for tag, wanted in (("wght", float(weight)), ("wdth", width)):
            if tag in axes:
                set_to[tag] = min(max(wanted, axes[tag][0]), axes[tag][1])
        slant = "ital" if "ital" in axes else "slnt"
        is_slanted = italic and not self.italic and slant in axes
        if is_slanted:  # ital runs from 0 to 1, slnt from 0 down to a negative angle
            set_to[slant] = axes[slant][1 if slant == "ital" else 0]
        return replace(
            self,
            weight=round(set_to.get("wght", self.weight)),
            width=set_to.get("wdth", self.width),
            italic=self.italic or is_slanted,
            variation=tuple(set_to.items()),
        )

    def tuned(self, settings: Iterable[tuple[str, float]], *, size: float) -> "Face":
        """Return a variable face with its axes set, any other as it is.

        The optical size follows the size, in user units, where the settings say nothing else.
        Source: CSS Fonts Level 4, 6.12 and 7.3.
        """
        return self.varied((("opsz", size), *settings))

    def varied(self, settings: Iterable[tuple[str, float]]) -> "Face":
        """Return it with the axes set that are named, as far as they go; the last setting of each counts."""
        if not self.axes:
            return self
        asked, set_to = dict(settings), dict(self.variation)
        for tag, least, greatest in self.axes:
            if tag in asked:
                set_to[tag] = min(max(asked[tag], least), greatest)
        return replace(self, variation=tuple(set_to.items()))

    @cached_property
    def engine(self) -> uharfbuzz.Font:
        """HarfBuzz's font, in font units.

        Raises:
            FontError: the file cannot be read any more.
        """
        font = uharfbuzz.Font(uharfbuzz.Face(_blob(self.file), self.index))
        if self.variation:
            font.set_variations(dict(self.variation))
        return font

    @property
    def units_per_em(self) -> int:
        """How many font units make the size."""
        return max(int(self.engine.face.upem), 1)

    def has(self, character: str) -> bool:
        """Return whether the face has a glyph for a character."""
        return bool(self.engine.get_nominal_glyph(ord(character)))


@dataclass(frozen=True, kw_only=True)
class Fonts:
    """The fonts there are, in order of preference.

    faces: of the files given and of the font that comes with the package.
    found: files that happen to be on the system; they are looked into only
        when a family or a character is not among `faces`.
    first: the faces of the first file or folder given, else of that font.
    given: the families of the files given, each once.
    """

    faces: tuple[Face, ...]
    found: tuple[str, ...] = ()
    first: tuple[Face, ...] = ()
    given: tuple[str, ...] = ()

    @cached_property
    def found_faces(self) -> tuple[Face, ...]:
        """The faces of the files found; files that cannot be read are passed over."""
        faces: list[Face] = []
        for file in self.found:
            try:
                faces.extend(_faces(file))
            except FontError:
                continue
        return tuple(faces)

    @cached_property
    def families(self) -> dict[str, tuple[Face, ...]]:
        """The faces given by their families, in the order of preference."""
        return _by_family(self.faces)

    @cached_property
    def found_families(self) -> dict[str, tuple[Face, ...]]:
        """The same of the faces found."""
        return _by_family(self.found_faces)


def _by_family(faces: Iterable[Face]) -> dict[str, tuple[Face, ...]]:
    found: dict[str, list[Face]] = {}
    for face in faces:
        found.setdefault(face.family, []).append(face)
    return {name: tuple(own) for name, own in found.items()}


def read_fonts(paths: Iterable[str | os.PathLike[str]], *, found: Iterable[str] = ()) -> Fonts:
    """Return the fonts of files and folders, those of the package after them.

    Folders are searched to their depth, in the order of the file names. The
    package brings the open family Source Sans Pro (SIL Open Font License 1.1).

    Args:
        paths: what the user named: ttf, otf, ttc, woff, and woff2 where brotli is installed.
        found: files of the system, from `find_system_fonts`.

    Raises:
        FontError: a file is not there or is not a font, or a folder has none.
    """
    groups = [*map(_files, map(Path, paths)), sorted(font_source_sans_pro.font_files_otf.values())]
    faces = [[face for file in group for face in _faces(file)] for group in groups]
    own = dict.fromkeys(face.family for face in chain(*faces[:-1]))
    return Fonts(faces=tuple(chain(*faces)), found=tuple(found), first=tuple(faces[0]), given=tuple(own))


def find_system_fonts() -> tuple[str, ...]:
    """Return the font files of this computer by name: those of fc-list, else those in the usual folders.

    The one function below the command line that asks the computer it runs on: it runs
    fc-list and looks up the user's home. Only the command line calls it; what it
    finds is then given to `read_fonts`.
    """
    try:
        listed = subprocess.run(
            ["fc-list", "--format", "%{file}\n"], capture_output=True, check=True, timeout=30
        )
        files = os.fsdecode(listed.stdout).splitlines()
    except (OSError, subprocess.SubprocessError):
        files = [file for folder in _FOLDERS for file in _walked(Path(folder).expanduser())]
    return tuple(sorted({file for file in files if Path(file).suffix.lower() in _SUFFIXES}))


@cache
def font_sha256(file: str) -> str:
    """Return the SHA-256 of a font file, which is looked at once. Raises FontError."""
    return hashlib.sha256(_blob(file).data).hexdigest()


def _files(path: Path) -> list[str]:
    if not path.is_dir():
        return [str(path)]
    files = sorted(_walked(path))
    if not files:
        raise FontError(
            "there is no font file in this folder", file=str(path), way_out="Name a .ttf or .otf file"
        )
    return files


def _walked(folder: Path) -> Iterator[str]:
    for root, _, names in os.walk(folder):
        for name in names:
            if Path(name).suffix.lower() in _SUFFIXES:
                yield str(Path(root) / name)


def _damaged(file: str) -> FontError:
    return FontError("this is not a font file, or it is damaged", file=file, way_out="Give another font file")


def _blob(file: str) -> uharfbuzz.Blob:
    """Return the bytes of a file, unpacked if they are packed."""
    try:
        with Path(file).open("rb") as stream:
            signature = stream.read(4)
        if signature[:2] in (b"%!", b"\x80\x01"):  # from memory: text, and packed
            raise FontError("Type 1 fonts are not read", file=file, way_out="Give it as a .ttf or .otf")
        if signature in (b"wOFF", b"wOF2"):
            if signature == b"wOF2" and not woff2.haveBrotli:
                raise FontError(
                    "woff2 files cannot be unpacked here",
                    file=file,
                    way_out="Install svg2chart[woff2], or give a .ttf or .otf",
                )
            return uharfbuzz.Blob(_unpacked(file))
        return uharfbuzz.Blob.from_file_path(file)
    except FileNotFoundError as error:
        raise FontError("there is no such font file", file=file, way_out="Check the path") from error
    except OSError as error:
        raise FontError(f"the font file cannot be opened ({error.strerror})", file=file) from error
    except uharfbuzz.HarfBuzzError as error:
        raise FontError("the font file cannot be opened", file=file) from error


def _unpacked(file: str) -> bytes:
    """Return the plain font of a woff or woff2 file."""
    try:
        packed = TTFont(file)
        packed.flavor = None
        plain = BytesIO()
        packed.save(plain, reorderTables=None)
    # what fontTools raises on files cut short, wrongly packed or contradictory
    except (
        *(TTLibError, struct.error, zlib.error, AssertionError, LookupError, ValueError, EOFError),
        *_BROTLI_ERRORS,
    ) as error:
        raise _damaged(file) from error
    return plain.getvalue()


def _faces(file: str) -> list[Face]:
    """Return the faces of a file, once it is known to be whole."""
    blob = _blob(file)
    try:
        if not _is_whole(blob.data):
            raise _damaged(file)
        first = uharfbuzz.Face(blob, 0)
        faces = [first, *(uharfbuzz.Face(blob, index) for index in range(1, first.count))]
        if any(table not in face.table_tags for face in faces for table in _NEEDED_TABLES):
            raise _damaged(file)
        return [_face(file, index, face) for index, face in enumerate(faces)]
    except (struct.error, UnicodeDecodeError) as error:  # no room for a header; a tag that is not ASCII
        raise _damaged(file) from error


def _is_whole(content: bytes) -> bool:
    """Return whether every table of every face lies within the file; raises struct.error if no header does.

    Source: OpenType, organization of an OpenType font: table directory and TTC header.
    """
    offsets: tuple[int, ...] = (0,)
    if content[:4] == b"ttcf":
        (count,) = struct.unpack_from(">8xL", content)
        offsets = struct.unpack_from(f">12x{count}L", content) if 4 * count < len(content) else ()
    for offset in offsets:
        (tables,) = struct.unpack_from(">4xH", content, offset)
        if content[offset : offset + 4] not in _SIGNATURES:
            return False
        for k in range(tables):
            start, length = struct.unpack_from(">8x2L", content, offset + 12 + 16 * k)
            if start + length > len(content):
                return False
    return bool(offsets)


def _face(file: str, index: int, font: uharfbuzz.Face) -> Face:
    # name 16 typographic family, 1 family, 4 full, 6 PostScript. Source: OpenType, name table
    names = sorted(font.list_names(), key=lambda name: (name.language != "en", name.language))
    called = [
        font.get_name(name, entry.language)
        for name in (16, 1, 4, 6)
        for entry in names
        if entry.name_id == name
    ]
    called = [" ".join(name.split()) for name in called if name.strip()] or [Path(file).stem]
    weight, width, selection = _style(font)
    return Face(
        file=file,
        index=index,
        family=called[0],
        names=tuple(dict.fromkeys(name.lower() for name in called)),
        weight=min(max(weight, 1), 1000),
        italic=bool(selection & 0x201),  # bits 0 italic and 9 oblique
        width=_WIDTHS.get(width, 100.0),
        axes=tuple((axis.tag, axis.min_value, axis.max_value) for axis in font.axis_infos),
        is_drawn=any(table in font.table_tags for table in _OUTLINE_TABLES),
        has_colours=any(table in font.table_tags for table in _COLOUR_TABLES),
    )


def _style(font: uharfbuzz.Face) -> tuple[int, int, int]:
    """Return usWeightClass, usWidthClass and fsSelection. Source: OpenType, OS/2 and head tables.

    Without an OS/2 table they are made up from macStyle: bit 0 bold, bit 1 italic.
    """
    os2, head = font.reference_table("OS/2").data, font.reference_table("head").data
    if len(os2) >= 64:
        weight, width = struct.unpack_from(">4x2H", os2)
        (selection,) = struct.unpack_from(">62xH", os2)
        return weight, width, selection
    (mac_style,) = struct.unpack_from(">44xH", head) if len(head) >= 46 else (0,)
    return 700 if mac_style & 1 else 400, 5, mac_style >> 1 & 1
