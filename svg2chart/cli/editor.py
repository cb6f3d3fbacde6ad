"""The command `editor`: the extensions of a vector editor, and the changes of a drawing that they ask for."""

import argparse
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import svg2chart
from svg2chart.cli import editor_changes as changes
from svg2chart.cli.options import Parser, UseError, one_line
from svg2chart.editing.installing import install, remove

ASKING_SECONDS = 20  # for the editor to tell where its folders are


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add what is to be done and its options."""
    actions = parser.add_subparsers(dest="action", metavar="ACTION", required=True, parser_class=Parser)
    _add(actions, "install", "put the extensions into the vector editor", _add_folder, _install)
    _add(actions, "remove", "take the extensions out of the vector editor", _add_folder, _remove)
    for name, (purpose, add, run_action) in changes.ACTIONS.items():
        _add(actions, name, purpose, add, run_action)


def run(options: argparse.Namespace) -> int:
    """Do what was asked for."""
    action: Callable[[argparse.Namespace], int] = options.run_action
    return action(options)


def _add(
    actions: "argparse._SubParsersAction[Parser]",
    name: str,
    purpose: str,
    add: Callable[[argparse.ArgumentParser], None],
    run_action: Callable[[argparse.Namespace], int],
) -> None:
    description = f"{purpose[0].upper()}{purpose[1:]}."
    parser = actions.add_parser(name, help=purpose, description=description, allow_abbrev=False)
    add(parser)
    parser.set_defaults(run_action=run_action)


def _add_folder(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--editor-folder",
        metavar="DIR",
        default="",
        help="the editor's folder for the user's extensions (default: the one that Inkscape names)",
    )


def _install(options: argparse.Namespace) -> int:
    folder = _folder(options.editor_folder)
    made = install(folder, python=sys.executable)
    for path in made:
        print(one_line(f"wrote {path}"))
    if made:
        print("Start the editor again: the entries are under Extensions, Cross-stitch chart.")
    else:
        print(one_line(f"{folder}: the extensions are there already, nothing was changed"))
    return 0


def _remove(options: argparse.Namespace) -> int:
    folder = _folder(options.editor_folder)
    removed = remove(folder)
    for path in removed:
        print(one_line(f"removed {path}"))
    if not removed:
        print(one_line(f"{folder}: there are no extensions of svg2chart, nothing was changed"))
    return 0


def _folder(given: str) -> Path:
    """Return the editor's folder for the user's extensions."""
    if given:
        if os.path.lexists(given) and not os.path.isdir(given):
            raise UseError(f"{given}: is no folder. Give the editor's folder of extensions.")
        return Path(given)
    program = shutil.which("inkscape")
    if program is None:
        raise svg2chart.EditorError(
            "Inkscape is not found on this machine",
            way_out="Give the folder that its preferences show under System, User extensions, after"
            " --editor-folder",
        )
    try:
        asked = subprocess.run(
            [program, "--user-data-directory"],
            capture_output=True,
            text=True,
            timeout=ASKING_SECONDS,
            check=True,
        )
        named = asked.stdout.strip().splitlines()[-1]
    except (OSError, subprocess.SubprocessError, UnicodeError, IndexError) as error:
        raise svg2chart.EditorError(
            f"Inkscape does not tell where its folders are ({error})",
            way_out="Give its folder of extensions after --editor-folder",
        ) from error
    return Path(named) / "extensions"
