"""The editor's windows on the screen, and the hands before it: keys are pressed, places are clicked."""

import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import count
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from tests.host.conftest import Editor, Screen

STARTS = 3
SECONDS = 90  # for what a key or a click leads to, on a machine with much else to do


@dataclass(frozen=True)
class Window:
    """A window: its number, and its place and size in pixels."""

    number: str
    left: int
    top: int
    wide: int
    high: int


@contextmanager
def started(editor: Editor, drawing: Path, action: str) -> Iterator[None]:
    """Start the editor with a drawing and an action, and end it."""
    process = _with_a_window(editor, drawing, action)
    try:
        yield
    finally:
        process.kill()
        process.wait()


def _with_a_window(editor: Editor, drawing: Path, action: str) -> "subprocess.Popen[bytes]":
    """Start the editor, again where it ends or hangs before it has shown its window."""
    for _ in range(STARTS):
        process = subprocess.Popen(
            ["inkscape", "--with-gui", str(drawing), f"--actions={action}"],
            env=editor.environment(),
            stderr=subprocess.DEVNULL,
        )
        end = time.monotonic() + SECONDS
        while process.poll() is None and time.monotonic() < end:
            if is_open(editor, drawing.name):
                return process
            time.sleep(0.2)
        process.kill()
        process.wait()
    raise AssertionError(f"no window in {STARTS} starts")


def await_window(editor: Editor, title: str) -> Window:
    """Return the window whose title holds these words, as soon as it is there."""
    wait_until(lambda: is_open(editor, title))
    number = _numbers(editor, title)[-1]
    lines = _xdotool(editor, "getwindowgeometry", "--shell", number).splitlines()
    told = dict(line.split("=") for line in lines)
    left, top, wide, high = (int(told[name]) for name in ("X", "Y", "WIDTH", "HEIGHT"))
    return Window(number=number, left=left, top=top, wide=wide, high=high)


def is_open(editor: Editor, title: str) -> bool:
    """Whether there is a window whose title holds these words."""
    return bool(_numbers(editor, title))


def click(editor: Editor, window: Window, *, from_left: int, from_bottom: int) -> None:
    """Click a place in a window."""
    x, y = window.left + from_left, window.top + window.high - from_bottom
    _xdotool(editor, "mousemove", "--sync", str(x), str(y), "click", "1")


def press(editor: Editor, title: str, key: str, *, until: Callable[[], bool]) -> None:
    """Press a key in the window of a title, again and again until something holds.

    A menu that a lost modifier has opened would take all further keys: now and then it is closed.
    """
    times = count(1)

    def pressed() -> bool:
        for number in _numbers(editor, title)[-1:]:
            keys = [key] if next(times) % 8 else ["Escape", key]
            _xdotool(editor, "windowfocus", "--sync", number, "key", "--clearmodifiers", *keys)
            time.sleep(0.5)
        return until()

    wait_until(pressed)


def is_changed(editor: Editor, title: str) -> bool:
    """Whether there is something to save: the title of the editor's window begins with a star then."""
    numbers = _numbers(editor, title)
    return bool(numbers) and _xdotool(editor, "getwindowname", numbers[-1]).startswith("*")


def seen_beside(screen: Screen, window: Window) -> NDArray[np.uint8]:
    """Return what the screen shows beside a window, between its upper third and its lower edge."""
    return screen.picture()[
        window.top + window.high // 3 : window.top + window.high, window.left + window.wide :
    ]


def await_still(screen: Screen, window: Window) -> NDArray[np.uint8]:
    """Return what is seen beside a window as soon as it does not change any more."""
    seen = [seen_beside(screen, window)]

    def is_still() -> bool:
        time.sleep(1)
        seen.append(seen_beside(screen, window))
        return bool((seen[-2] == seen[-1]).all())

    wait_until(is_still)
    return seen[-1]


def wait_until(holds: Callable[[], bool]) -> None:
    """Wait until something holds."""
    end = time.monotonic() + SECONDS
    while not holds():
        if time.monotonic() > end:
            raise AssertionError(f"not so within {SECONDS} seconds")
        time.sleep(0.2)


def _numbers(editor: Editor, title: str) -> list[str]:
    return _xdotool(editor, "search", "--onlyvisible", "--name", title).split()


def _xdotool(editor: Editor, *arguments: str) -> str:
    return subprocess.run(
        ["xdotool", *arguments],
        env=editor.environment(),
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    ).stdout
