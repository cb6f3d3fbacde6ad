"""The same library on a cluster: a scheduler and two workers on the loopback address, one of them lost."""

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from svg2chart.cli.main import main
from tests.library.folders import OPTIONS, bytes_in, command, fleet, make, slow

NAMES = [f"quay/boat {number:02}.svg" for number in range(10)]
QUIET = {**os.environ, "DASK_DISTRIBUTED__SCHEDULER__WORKER_TTL": "None"}


def started(*arguments: str) -> "subprocess.Popen[bytes]":
    program = [sys.executable, "-m", *arguments]
    return subprocess.Popen(program, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=QUIET)


@pytest.fixture
def cluster(tmp_path: Path) -> Iterator[tuple[str, list["subprocess.Popen[bytes]"]]]:
    """Start a scheduler and two workers, and return its address and them."""
    pytest.importorskip("distributed") if not os.environ.get("CI") else None
    told = tmp_path / "scheduler.json"
    common = ("--host", "127.0.0.1", "--no-dashboard")
    scheduler = started(
        "distributed.cli.dask_scheduler", *common, "--port", "0", "--scheduler-file", str(told)
    )
    deadline = time.monotonic() + 60
    while not told.exists():
        assert time.monotonic() < deadline
        time.sleep(0.05)
    address = json.loads(told.read_text("utf-8"))["address"]
    worker = ("distributed.cli.dask_worker", address, *common, "--nthreads", "1", "--no-nanny")
    workers = [started(*worker, "--local-directory", str(tmp_path / f"w{k}")) for k in range(2)]
    yield address, workers
    for process in (*workers, scheduler):
        process.kill()
        process.wait()


def test_a_cluster_that_loses_a_worker_makes_the_same_bytes(
    cluster: tuple[str, list["subprocess.Popen[bytes]"]], tmp_path: Path
) -> None:
    address, workers = cluster
    folder = fleet(tmp_path / "art", NAMES)
    (folder / "harbour.svg").write_text(slow(2), "utf-8")
    make(folder, "-o", tmp_path / "here", *OPTIONS)
    arguments = command(folder, "-o", tmp_path / "there", *OPTIONS, "--scheduler", address)
    with subprocess.Popen(arguments, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        assert process.stderr is not None
        first = process.stderr.readline()
        assert "made" in first, first + process.stderr.read()
        os.kill(workers[0].pid, signal.SIGKILL)
        out, err = process.communicate(timeout=120)
    assert process.returncode == 0, err
    assert out.startswith("11 drawings: 11 made")
    assert bytes_in(tmp_path / "there") == bytes_in(tmp_path / "here")


def test_a_cluster_ends_files_that_take_too_long(
    cluster: tuple[str, list["subprocess.Popen[bytes]"]], tmp_path: Path
) -> None:
    address, _ = cluster
    folder = fleet(tmp_path / "art", NAMES[:2])
    (folder / "harbour.svg").write_text(slow(40), "utf-8")
    options = (*OPTIONS, "--scheduler", address, "--seconds-per-file", "3")
    outcome = make(folder, "-o", tmp_path / "there", *options)
    assert outcome.returncode == 1
    assert outcome.stdout.startswith("3 drawings: 2 made, 1 failed")
    assert "more than 3 seconds" in outcome.stderr


def test_a_scheduler_that_does_not_answer_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    pytest.importorskip("distributed") if not os.environ.get("CI") else None
    monkeypatch.setattr("svg2chart.library.cluster.ANSWER_SECONDS", 0.5)
    folder = fleet(tmp_path / "art", ["a.svg"])
    arguments = ["library", str(folder), "-o", str(tmp_path / "out"), *OPTIONS]
    assert main([*arguments, "--scheduler", "tcp://127.0.0.1:9"]) == 1
    assert "no scheduler with workers answers at tcp://127.0.0.1:9" in capsys.readouterr().err
    assert main([*arguments, "--scheduler", "no address"]) == 1
    assert "no scheduler" in capsys.readouterr().err
