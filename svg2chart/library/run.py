"""The run over a library: what stands is kept, the rest is given to a crew, and every file gets its row."""

import errno
import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from svg2chart.chart import Chart
from svg2chart.chartfile import parse_chart
from svg2chart.errors import ArtworkError, ChartError, ChartFileError
from svg2chart.files import CHART_ENDING, PDF_ENDING, write_files
from svg2chart.library.child import Outcome
from svg2chart.library.crew import Crew
from svg2chart.library.drawings import Drawing
from svg2chart.library.rows import Row, State, counts_of
from svg2chart.library.standing import are_pages_of, is_made_of, is_our_pdf, is_ours
from svg2chart.library.work import Job, Wanted, refuse_remarks
from svg2chart.svg.document import MAX_BYTES

_FULL = (errno.ENOSPC, errno.EDQUOT, errno.EROFS)
"""With these no further file can be written either."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A run over the drawings of a folder.

    rows: one for each drawing, in their order; filled in as files are done.
    on_row: called with each row that is filled in.
    """

    folder: Path
    results: Path
    drawings: Sequence[Drawing]
    wanted: Wanted
    overwrite: bool
    on_row: Callable[[Row], None]
    rows: list[Row] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.rows.extend(Row(name=drawing.name, stem=drawing.stem) for drawing in self.drawings)

    def with_crew(self, start: Callable[[], Crew], *, check: bool) -> None:
        """Go through all drawings.

        Args:
            start: makes the crew; called when there is something to do for it.
            check: whether charts may come from a machine with other fonts or another version.

        Raises:
            ChartFileError: nothing more can be written.
            ChartError: the crew is gone.
        """
        crew: Crew | None = None
        in_hand = 0
        try:
            for number, drawing in enumerate(self.drawings):
                job = self._job(number, drawing)
                if job is None:
                    continue
                crew = crew or start()
                crew.give(number, job)
                in_hand += 1
                while in_hand >= crew.room:
                    self._put(*crew.take(), check=check)
                    in_hand -= 1
            while crew is not None and in_hand:
                self._put(*crew.take(), check=check)
                in_hand -= 1
        finally:
            if crew is not None:
                crew.end()

    def _job(self, number: int, drawing: Drawing) -> Job | None:
        """Return what there is to do for a drawing, None where its row can be filled in at once."""
        try:
            data = self._read(drawing)
            standing = self._standing(drawing, data)
        except ChartError as error:
            self._fill(number, state=State.FAILED, why=str(error))
            return None
        if standing is None:
            return Job(name=drawing.name, wanted=self.wanted, drawing=data)
        chart, chart_file = standing
        if not self._has_rest(drawing, chart_file):
            return Job(name=drawing.name, wanted=self.wanted, chart_file=chart_file)
        self._fill(number, state=State.KEPT, chart_file=chart_file, counts=counts_of(chart))
        return None

    def _read(self, drawing: Drawing) -> bytes:
        """Return the bytes of a drawing. Raises ArtworkError."""
        try:
            with (self.folder / drawing.name).open("rb") as file:
                return file.read(MAX_BYTES + 1)  # what is larger is refused by whoever parses it
        except OSError as error:
            what = f"cannot be read: {error.strerror or error}"
            raise ArtworkError(what, way_out="Check its rights and where it links to") from error

    def _standing(self, drawing: Drawing, data: bytes) -> tuple[Chart, bytes] | None:
        """Return the chart that was made of this drawing and its file, None where it is to be made.

        Raises ChartError where something else is in the way, or the chart has remarks and none are wanted.
        """
        if self.overwrite:
            return None
        chart_file = _bytes_of(self._path(drawing, CHART_ENDING))
        if chart_file is None:
            pdf = _bytes_of(self._path(drawing, PDF_ENDING)) if self.wanted.paper else None
            if pdf is not None and not is_our_pdf(pdf):
                raise _in_the_way(self._path(drawing, PDF_ENDING), "a PDF of something else")
            return None
        try:
            chart = parse_chart(chart_file)
        except ChartFileError as error:
            raise _in_the_way(self._path(drawing, CHART_ENDING), f"no chart file: {error.what}") from error
        if not is_ours(chart):
            raise _in_the_way(self._path(drawing, CHART_ENDING), "a chart that was not made of a drawing")
        if not is_made_of(chart, data, self.wanted):
            return None
        refuse_remarks(chart, self.wanted)
        return chart, chart_file

    def _has_rest(self, drawing: Drawing, chart_file: bytes) -> bool:
        """Return whether the other results of a chart stand as well."""
        paths = {ending: self._path(drawing, ending) for ending in self.wanted.endings}
        if not all(path.is_file() for path in paths.values()):
            return False
        pdf = _bytes_of(paths[PDF_ENDING]) if self.wanted.paper else None
        return pdf is None or are_pages_of(pdf, chart_file, self.wanted)

    def _put(self, number: int, outcome: Outcome, *, check: bool) -> None:
        """Put results in place and fill in the row. Raises ChartFileError where nothing can be written."""
        drawing = self.drawings[number]
        if outcome.results is None:
            self._fill(number, state=State.FAILED, why=outcome.failure, seconds=outcome.seconds)
            return
        chart_file = outcome.results.files[CHART_ENDING]
        try:
            if check:
                self._check(drawing, chart_file)
            paths = {ending: self._path(drawing, ending) for ending in outcome.results.files}
            paths[CHART_ENDING].parent.mkdir(parents=True, exist_ok=True)
            write_files([(paths[ending], data) for ending, data in outcome.results.files.items()])
        except (OSError, ChartError) as error:
            why = str(error) if isinstance(error, ChartError) else f"cannot be written: {error.strerror}"
            self._fill(number, state=State.FAILED, why=why, seconds=outcome.seconds)
            if isinstance(error, OSError) and error.errno in _FULL:
                raise ChartFileError(
                    f"cannot be written: {error.strerror}",
                    file=str(self.results / drawing.stem),
                    way_out="What is made is kept: make room and start again",
                ) from error
            return
        self._fill(
            number,
            state=State.MADE,
            chart_file=chart_file,
            counts=outcome.results.counts,
            seconds=outcome.seconds,
        )

    def _check(self, drawing: Drawing, chart_file: bytes) -> None:
        """Raise ChartError for a chart that this machine would not have made."""
        if not is_made_of(parse_chart(chart_file), self._read(drawing), self.wanted):
            raise ChartError(
                "a worker made another chart of it than this machine would",
                way_out="Give all machines the same fonts and the same svg2chart",
            )

    def _fill(self, number: int, *, chart_file: bytes = b"", **told: object) -> None:
        digest = hashlib.sha256(chart_file).hexdigest() if chart_file else ""
        self.rows[number] = replace(self.rows[number], chart_sha256=digest, **told)  # type: ignore[arg-type]
        self.on_row(self.rows[number])

    def _path(self, drawing: Drawing, ending: str) -> Path:
        return self.results / f"{drawing.stem}{ending}"


def _bytes_of(path: Path) -> bytes | None:
    """Return what a file of the results holds, None if there is none. Raises ChartError."""
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None
    except IsADirectoryError:
        raise _in_the_way(path, "a folder") from None
    except OSError as error:
        way_out = "Check its rights and the length of its name"
        raise ChartError(f"{path} cannot be read: {error.strerror}", way_out=way_out) from error


def _in_the_way(path: Path, what: str) -> ChartError:
    return ChartError(f"{path} is in the way, it is {what}", way_out="Move it away, or give --overwrite")
