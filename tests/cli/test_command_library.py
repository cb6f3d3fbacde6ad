"""The command `library`: a tree of charts, an honest row for each file, a run that can be ended any time."""

import contextlib
import csv
import gzip
import json
import os
import signal
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path
from threading import Event, Timer

import pytest
from pypdf import PdfReader

from svg2chart.chartfile import chart_bytes, read_chart
from svg2chart.cli.main import main
from svg2chart.library.crew import Workers
from svg2chart.library.keeper import Allowed
from svg2chart.library.work import Job, Wanted
from svg2chart.request import Request
from tests.library.folders import OPTIONS, SVG, Outcome, boat, bytes_in, command, fleet, make, slow

NAMES = [f"{place}boat {number:02}.svg" for number in range(4) for place in ("", "quay/", "quay/far/")]
BROKEN = "quay/broken.svg"


def rows_of(out: Path) -> list[dict[str, str]]:
    with (out / "library.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def states_of(out: Path) -> dict[str, str]:
    return {row["file"]: row["state"] for row in rows_of(out)}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path, Outcome]:
    """Return a folder of 13 files, one of them broken, what was made of it by one worker, and how."""
    place = tmp_path_factory.mktemp("library")
    folder = fleet(place / "art", NAMES)
    (folder / BROKEN).write_text("<svg", "utf-8")
    outcome = make(folder, "-o", place / "out", *OPTIONS, "--workers", "1")
    return folder, place / "out", outcome


def test_the_tree_is_kept_and_every_file_has_its_row(
    made: tuple[Path, Path, Outcome],
) -> None:
    _, out, outcome = made
    assert outcome.returncode == 1
    assert outcome.stdout.startswith("13 drawings: 12 made, 1 failed; wrote ")
    assert "Traceback" not in outcome.stderr
    assert len(outcome.stderr.splitlines()) == 13
    charts = [path.relative_to(out).as_posix() for path in out.rglob("*.chart.json")]
    assert sorted(charts) == sorted(name.replace(".svg", ".chart.json") for name in NAMES)
    rows = rows_of(out)
    assert [row["file"] for row in rows] == sorted([*NAMES, BROKEN], key=lambda name: name.split("/"))
    for row in rows:
        if row["file"] == BROKEN:
            assert row["state"] == "failed"
            assert row["size"] == ""
            assert "not well-formed" in row["why"]
            continue
        chart = read_chart(out / row["file"].replace(".svg", ".chart.json"))
        assert row["size"] == f"{chart.columns} x {chart.rows}" == "12 x 9"
        assert int(row["threads"]) == len(chart.threads)
        assert int(row["remarks"]) == len(chart.remarks)
        stitches = [stitch for line in chart.squares for k in line for stitch in chart.arrangements[k]]
        assert int(row["stitches"]) == len(stitches)
        assert int(row["fractions"]) == sum(stitch.corner is not None for stitch in stitches)


def test_the_contact_sheet_shows_every_chart_with_its_name(
    made: tuple[Path, Path, Outcome],
) -> None:
    _, out, _ = made
    text = "\n".join(page.extract_text() for page in PdfReader(out / "library.pdf").pages)
    assert all(text.count(f"boat {number:02}.svg") == 3 for number in range(4))
    assert text.count("12 \N{MULTIPLICATION SIGN} 9") == 12
    assert "broken" not in text


def test_a_chart_has_the_bytes_that_the_command_chart_gives(
    made: tuple[Path, Path, Outcome], tmp_path: Path
) -> None:
    folder, out, _ = made
    assert main(["chart", str(folder / NAMES[1]), "-o", str(tmp_path / "one"), *OPTIONS]) == 0
    assert (tmp_path / "one.chart.json").read_bytes() == (out / "quay/boat 00.chart.json").read_bytes()


def test_the_number_of_workers_changes_no_byte(made: tuple[Path, Path, Outcome], tmp_path: Path) -> None:
    folder, out, _ = made
    for workers in ("2", "4"):
        make(folder, "-o", tmp_path / workers, *OPTIONS, "--workers", workers)
        assert bytes_in(tmp_path / workers) == bytes_in(out)
        rows, once = (
            [row | {"seconds": ""} for row in rows_of(place)] for place in (tmp_path / workers, out)
        )
        assert rows == once


def test_only_what_does_not_stand_is_made_again(tmp_path: Path) -> None:
    folder, out = fleet(tmp_path / "art", ["a.svg", "b.svg", "c.svg"]), tmp_path / "out"
    card = tmp_path / "mine.csv"
    card.write_text("code,name,hex\nR7,Roof red,#c62828\nS2,Slate,#44525e\n", "utf-8")

    def again(*options: str | Path) -> str:
        outcome = make(folder, "-o", out, *(options or OPTIONS), "--report", "json")
        told = json.loads(outcome.stdout)["drawings"]
        return f"{told['made']} made {told['kept']} kept {told['failed']} failed"

    assert again() == "3 made 0 kept 0 failed"
    before = {path: path.stat().st_mtime_ns for path in out.rglob("*") if path.name != "library.csv"}
    assert again() == "0 made 3 kept 0 failed"
    assert before == {path: path.stat().st_mtime_ns for path in out.rglob("*") if path.name != "library.csv"}
    (folder / "b.svg").write_text(boat(9), "utf-8")
    assert again() == "1 made 2 kept 0 failed"
    assert again(*OPTIONS, "--overwrite") == "3 made 0 kept 0 failed"
    assert again(*OPTIONS, "--card", card) == "3 made 0 kept 0 failed"
    assert again(*OPTIONS, "--card", card) == "0 made 3 kept 0 failed"
    card.write_text("code,name,hex\nR7,Roof red,#c62829\nS2,Slate,#44525e\n", "utf-8")
    assert again(*OPTIONS, "--card", card) == "3 made 0 kept 0 failed"
    assert again("--wide", "12", "--no-pdf") == "3 made 0 kept 0 failed"


def test_pages_that_are_missing_or_on_other_paper_are_made_of_the_chart_that_stands(tmp_path: Path) -> None:
    folder, out = fleet(tmp_path / "art", ["a.svg"]), tmp_path / "out"
    options = (folder, "-o", out, "--square", "1", "--page")
    make(*options, "--no-pdf")
    chart = (out / "a.chart.json").stat().st_mtime_ns
    content = (out / "a.chart.json").read_bytes()
    assert make(*options).returncode == 0
    pages = PdfReader(out / "a.pdf").pages
    assert len(pages) > 3
    first = (out / "a.pdf").read_bytes()
    stands = (out / "a.pdf").stat().st_mtime_ns
    make(*options)
    assert (out / "a.pdf").stat().st_mtime_ns == stands
    make(*options, "--paper", "letter")
    assert (out / "a.pdf").read_bytes() != first
    make(*options)
    assert (out / "a.pdf").read_bytes() == first
    assert (out / "a.chart.json").read_bytes() == content
    assert chart <= (out / "a.chart.json").stat().st_mtime_ns


def test_what_is_not_ours_is_kept_unless_it_may_be_replaced(tmp_path: Path) -> None:
    folder, out = fleet(tmp_path / "art", ["a.svg", "b.svg", "c.svg"]), tmp_path / "out"
    out.mkdir()
    (out / "a.chart.json").write_text("{}", "utf-8")
    (out / "b.pdf").write_bytes(b"%PDF-1.7 someone else's")
    (out / "c.chart.json").mkdir()
    outcome = make(folder, "-o", out, "--square", "1", "--page")
    assert outcome.returncode == 1
    assert states_of(out) == {"a.svg": "failed", "b.svg": "failed", "c.svg": "failed"}
    assert [word in outcome.stderr for word in ("no chart file", "something else", "folder")] == [True] * 3
    assert (out / "a.chart.json").read_bytes() == b"{}"
    assert (out / "b.pdf").read_bytes() == b"%PDF-1.7 someone else's"
    make(folder, "-o", out, "--square", "1", "--page", "--overwrite")
    assert states_of(out) == {"a.svg": "made", "b.svg": "made", "c.svg": "failed"}


def test_files_that_take_too_long_or_too_much_are_ended_and_the_rest_go_on(tmp_path: Path) -> None:
    folder = fleet(tmp_path / "art", ["a.svg", "c.svg"])
    (folder / "b.svg").write_text(slow(40), "utf-8")
    for limit, word in ("--seconds-per-file=3", "more than 3 seconds"), ("--megabytes-per-file=64", "64 MiB"):
        out = tmp_path / limit
        outcome = make(folder, "-o", out, *OPTIONS, limit, "--workers", "1")
        assert outcome.returncode == 1
        assert states_of(out) == {"a.svg": "made", "b.svg": "failed", "c.svg": "made"}
        assert word in rows_of(out)[1]["why"]


def children_of(process: int) -> list[int]:
    tasks = Path(f"/proc/{process}/task")
    try:
        found = [path.read_text("ascii") for path in tasks.glob("*/children")]
    except OSError:
        return []
    return [int(child) for text in found for child in text.split()]


@contextlib.contextmanager
def running(*arguments: str | Path) -> Iterator[subprocess.Popen[str]]:
    process = subprocess.Popen(
        command(*arguments),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
        # as in a terminal: what a shell starts in the background, and what that starts, takes no interrupt
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )
    try:
        yield process
    finally:
        process.kill()
        process.communicate()


def lines_told(process: "subprocess.Popen[str]", number: int) -> None:
    assert process.stderr is not None
    for _ in range(number):
        assert process.stderr.readline()


def is_there(process: int) -> bool:
    try:
        return Path(f"/proc/{process}/stat").read_text("ascii").split()[2] != "Z"
    except OSError:
        return False


def wait_until_gone(processes: list[int]) -> None:
    deadline = time.monotonic() + 30
    while any(map(is_there, processes)):
        assert time.monotonic() < deadline, "a worker outlived the run"
        time.sleep(0.05)


def assert_whole(out: Path) -> None:
    """Whatever has its final name is whole."""
    for path in out.rglob("*.chart.json"):
        chart = read_chart(path)
        assert chart_bytes(chart) == path.read_bytes()
    for path in out.rglob("*.pdf"):
        assert path.read_bytes().rstrip().endswith(b"%%EOF")


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="needs /proc to find the workers")
def test_killed_at_any_moment_a_restart_completes_it(
    made: tuple[Path, Path, Outcome], tmp_path: Path
) -> None:
    folder, clean, _ = made
    out = tmp_path / "out"
    for number in (1, 4):
        with running(folder, "-o", out, *OPTIONS, "--workers", "2") as process:
            lines_told(process, number)
            workers = children_of(process.pid)
            os.kill(process.pid, signal.SIGKILL)
            process.wait()
        assert_whole(out)
        wait_until_gone(workers)
    half = out / f".svg2chart-{process.pid}-0.part"
    half.write_bytes(b"half")
    with running(folder, "-o", out, *OPTIONS, "--workers", "2", "--overwrite") as process:
        lines_told(process, 2)
        for worker in children_of(process.pid):
            os.kill(worker, signal.SIGKILL)
        process.communicate()
    assert_whole(out)
    make(folder, "-o", out, *OPTIONS)
    assert bytes_in(out) == bytes_in(clean)
    assert not list(out.rglob(".svg2chart-*"))


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="needs /proc to find the workers")
def test_ctrl_c_stops_it_and_the_table_says_how_far_it_came(tmp_path: Path) -> None:
    """Both workers are amid drawings that take much longer than it takes to stop."""
    folder, out = fleet(tmp_path / "art", ["a.svg", "b.svg", "c.svg", "f.svg", "g.svg"]), tmp_path / "out"
    for name in ("d.svg", "e.svg"):
        (folder / name).write_text(slow(40), "utf-8")
    with running(folder, "-o", out, *OPTIONS, "--workers", "2") as process:
        lines_told(process, 3)
        workers = children_of(process.pid)
        os.killpg(process.pid, signal.SIGINT)
        _, err = process.communicate(timeout=30)
    assert process.returncode == 130
    assert "Traceback" not in err
    assert err.rstrip().endswith("svg2chart: interrupted")
    wait_until_gone(workers)
    assert list(states_of(out).values()) == ["made"] * 3 + ["not reached"] * 4
    assert "3 of 7 drawings are done; the same command goes on with the others" in err
    assert not list(out.rglob(".svg2chart-*"))
    assert_whole(out)


def test_a_worker_that_begins_while_all_are_ended_is_ended_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its thread has taken the job, and has no process yet; the drawing would take as long as it may."""
    begins, do = Event(), Workers._do

    def late(crew: Workers, number: int, job: Job) -> None:
        begins.wait()
        do(crew, number, job)

    monkeypatch.setattr(Workers, "_do", late)
    crew = Workers(1, Allowed(seconds=30, memory=2**31), time.monotonic)
    wanted = Wanted(request=Request(), paper=None)
    crew.give(0, Job(name="slow.svg", wanted=wanted, drawing=slow(60).encode()))
    Timer(0.2, begins.set).start()  # when nothing is left to do but to wait for it
    start = time.monotonic()
    crew.end()
    assert time.monotonic() - start < 10


def test_odd_names_are_right_or_a_clear_error(tmp_path: Path) -> None:
    names = ["a b.svg", "\N{ANCHOR}\N{LATIN SMALL LETTER E WITH ACUTE}.svg", "line\nbreak.svg", "=1+1.svg"]
    folder, out = fleet(tmp_path / "art", [*names, "Boat.svg", "boat.svg"]), tmp_path / "out"
    (folder / "boat.svgz").write_bytes(gzip.compress(boat(7).encode(), mtime=0))
    (folder / "loop.svg").symlink_to("loop.svg")
    (folder / "ring").symlink_to(folder, target_is_directory=True)
    with open(os.fsencode(folder) + b"/\xff.svg", "w", encoding="utf-8") as file:
        file.write(boat(8))
    (folder / ("n" * 250 + ".svg")).write_text(boat(9), "utf-8")
    outcome = make(folder, "-o", out, *OPTIONS)
    assert outcome.returncode == 1
    assert "ring: a link to a folder is not followed" in outcome.stderr
    failed = {row["file"]: row["why"] for row in rows_of(out) if row["state"] == "failed"}
    assert list(failed) == ["loop.svg", "n" * 250 + ".svg"]
    assert "symbolic links" in failed["loop.svg"]
    assert "too long" in failed["n" * 250 + ".svg"]
    charts = [read_chart(path) for path in out.glob("*.chart.json")]
    assert len(charts) == len(set(charts)) == 8  # all drawings differ, and no chart took the place of another
    assert states_of(out)["line\nbreak.svg"] == "made"
    again = make(folder, "-o", out, *OPTIONS)
    assert again.stdout.startswith("10 drawings: 8 kept, 2 failed")


def test_wrong_use_is_told_before_any_work(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = fleet(tmp_path / "art", ["a.svg"])
    (tmp_path / "file").touch()
    for arguments, word in (
        ([str(tmp_path / "none"), "-o", "x"], "is not there"),
        ([str(tmp_path / "file"), "-o", "x"], "is no folder"),
        ([str(folder), "-o", str(tmp_path / "file")], "is in the way"),
        ([str(folder), "-o", str(tmp_path / "file" / "x")], "cannot be written"),
        ([str(folder), "-o", str(tmp_path / "o"), "--no-pdf", "--paper", "a4"], "--no-pdf makes none"),
        ([str(folder), "-o", str(tmp_path / "o"), "--workers", "0"], "from 1 to"),
    ):
        assert main(["library", *arguments]) == 2
        assert word in capsys.readouterr().err
    assert not (tmp_path / "o").exists()
    assert main(["library", str(folder), "-o", str(tmp_path / "o"), "--font", "none.ttf"]) == 1


def test_two_runs_do_not_write_to_one_folder(tmp_path: Path) -> None:
    folder = fleet(tmp_path / "art", NAMES[:6])
    with running(folder, "-o", tmp_path / "out", *OPTIONS) as process:
        lines_told(process, 1)
        second = make(folder, "-o", tmp_path / "out", *OPTIONS)
        assert second.returncode == 2
        assert "is being made there now" in second.stderr


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """Mount a disk of 64 KiB."""
    place = tmp_path / "disk"
    place.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(place)]
    if os.geteuid() != 0 or subprocess.run(mount, check=False, capture_output=True).returncode:
        assert "CI" not in os.environ, "the machine of the checks can mount a small disk"
        pytest.skip("a small disk can only be mounted by root")
    yield place
    subprocess.run(["umount", str(place)], check=True)


def test_a_full_disk_ends_the_run_with_what_is_made(small_disk: Path, tmp_path: Path) -> None:
    folder = fleet(tmp_path / "art", NAMES)
    ballast = small_disk / "ballast"
    ballast.write_bytes(b"." * 40_000)
    outcome = make(folder, "-o", small_disk / "out", *OPTIONS)
    assert outcome.returncode == 1
    assert "No space left on device" in outcome.stderr
    assert "Traceback" not in outcome.stderr
    assert_whole(small_disk)
    assert not list(small_disk.rglob(".svg2chart-*"))
    charts = list(small_disk.rglob("*.chart.json"))
    assert len(charts) < len(NAMES)
    ballast.unlink()
    (small_disk / "out").joinpath("full").write_bytes(b"")
    subprocess.run(["mount", "-o", "remount,size=1m", str(small_disk)], check=True)
    assert f"{len(charts)} kept" in make(folder, "-o", small_disk / "out", *OPTIONS).stdout


def test_a_folder_that_cannot_be_written_is_told_before_any_work(small_disk: Path, tmp_path: Path) -> None:
    folder = fleet(tmp_path / "art", NAMES[:2])
    (small_disk / "out").mkdir()
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    for out in (small_disk / "out", small_disk / "new"):
        outcome = make(folder, "-o", out, *OPTIONS)
        assert outcome.returncode == 2
        assert "cannot be written: " in outcome.stderr
        assert len(outcome.stderr.splitlines()) == 1


def test_a_drawing_that_names_its_squares_and_one_with_words_are_kept_only_as_they_would_be_made(
    tmp_path: Path,
) -> None:
    folder, out = tmp_path / "art", tmp_path / "out"
    folder.mkdir()
    keyed = SVG.replace("<svg ", '<svg data-square="1.5" ').format('<rect width="6" height="6"/>')
    (folder / "keyed.svg").write_text(keyed, "utf-8")
    words = '<text y="9" font-size="12" font-family="Source Sans Pro">Q</text>'
    (folder / "words.svg").write_text(SVG.format(words), "utf-8")
    plain = (folder, "-o", out, "--no-pdf")
    make(*plain)
    assert read_chart(out / "keyed.chart.json").columns == 8
    assert dict(read_chart(out / "words.chart.json").made_from.settings)["fonts_sha256"]
    make(*plain)
    assert set(states_of(out).values()) == {"kept"}
    make(*plain, "--wide", "80")  # what a drawing without a say would get unasked
    assert states_of(out)["keyed.svg"] == "made"
    make(*plain)
    assert states_of(out)["keyed.svg"] == "made"
