"""The live page served: what it can ask for, the files watched, and news sent as it comes."""

import json
import socket
from collections.abc import AsyncIterator
from pathlib import Path

import anyio
import uvicorn
from anyio.to_thread import run_sync
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Mount, Route
from watchfiles import Change, awatch

from svg2chart.proof.desk import DeskError
from svg2chart.proof.guard import LOOPBACK, Guard
from svg2chart.proof.page import DRAWING_POLICY, live_page
from svg2chart.proof.session import Session

MOST_BODY = 4096  # bytes; a handful of settings
PULSE_S = 0.5  # how often a page that waits for news is looked at
STEP_MS = 40  # a save is over where nothing happened for so long,
DEBOUNCE_MS = 300  # and after this at the latest
_GZIP = b"\x1f\x8b"  # RFC 1952, 2.3.1


def listen(port: int) -> socket.socket:
    """Return a socket on the loopback address, 0 for any free port. Raises OSError where it is taken."""
    bound = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        bound.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        bound.bind((LOOPBACK, port))
        bound.listen()
    except OSError:
        bound.close()
        raise
    return bound


def serve_proof(session: Session, watched: tuple[Path, ...], bound: socket.socket, *, key: str) -> None:
    """Serve the page until the process is told to end.

    Args:
        session: what the page shows.
        watched: the files whose changes are charted.
        bound: the socket that was bound to the loopback address.
        key: the first part of all paths, which nobody else knows.
    """
    proof = _Proof(session)
    guarded = Guard(proof.app(key), port=bound.getsockname()[1])
    config = uvicorn.Config(
        guarded, log_config=None, access_log=False, server_header=False, ws="none", lifespan="off"
    )
    proof.server = uvicorn.Server(config)
    anyio.run(_serve, proof, watched, bound)


async def _serve(proof: "_Proof", watched: tuple[Path, ...], bound: socket.socket) -> None:
    assert proof.server is not None
    async with anyio.create_task_group() as tasks:
        tasks.start_soon(proof.watch, watched)
        tasks.start_soon(proof.redraw)
        await proof.server.serve(sockets=[bound])
        tasks.cancel_scope.cancel()


class _Proof:
    """The answers, and the news that waiting pages are told."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._page = live_page()
        self._changed = anyio.Event()
        self.server: uvicorn.Server | None = None

    def app(self, key: str) -> Starlette:
        routes = [
            Route("/", self._get_page),
            Route("/state", self._get_state),
            Route("/news", self._get_news),
            Route("/square/{row:int}/{column:int}", self._get_square),
            Route("/drawing/{revision:int}.svg", self._get_drawing),
            Route("/settings", self._post_settings, methods=["POST"]),
            Route("/write", self._post_write, methods=["POST"]),
        ]
        return Starlette(routes=[Mount(f"/{key}", routes=routes)])

    async def watch(self, watched: tuple[Path, ...]) -> None:
        """Chart again after each change. Folders are watched: editors put a new file in place of the old."""
        names = {
            str(name) for path in watched for name in (path.parent.resolve() / path.name, path.resolve())
        }

        def is_ours(_: Change, name: str) -> bool:
            return name in names

        folders = {Path(name).parent for name in names}
        async for _ in awatch(
            *sorted(folders),
            watch_filter=is_ours,
            step=STEP_MS,
            debounce=DEBOUNCE_MS,
            recursive=False,
        ):
            await self.redraw()

    async def redraw(self) -> None:
        """Chart the drawing as it is now."""
        await self._make(None)

    async def _make(self, wanted: dict[str, str] | None) -> None:
        making = run_sync(self._session.redraw, wanted)
        self._tell()
        await making
        self._tell()

    def _tell(self) -> None:
        self._changed.set()
        self._changed = anyio.Event()

    async def _get_page(self, _: Request) -> Response:
        return Response(self._page, media_type="text/html", headers={"x-frame-options": "DENY"})

    async def _get_state(self, _: Request) -> Response:
        shown = self._session.shown
        if shown is None:
            return JSONResponse(self._session.news.value, status_code=404)
        return Response(shown.state, media_type="application/json")

    async def _get_news(self, _: Request) -> Response:
        return StreamingResponse(self._news(), media_type="text/event-stream")

    async def _news(self) -> AsyncIterator[str]:
        """Yield the news as it comes, as an event stream (HTML standard, 9.2), until the server ends."""
        told = None
        while self.server is None or not self.server.should_exit:
            changed, news = self._changed, self._session.news
            if news != told:
                told = news
                yield f"data: {json.dumps(news.value)}\n\n"
            with anyio.move_on_after(PULSE_S):
                await changed.wait()

    async def _get_square(self, request: Request) -> Response:
        row, column = request.path_params["row"], request.path_params["column"]
        told = await run_sync(self._session.explained, row, column)
        return JSONResponse(told or {}, status_code=200 if told else 404)

    async def _get_drawing(self, request: Request) -> Response:
        shown = self._session.shown
        if shown is None or shown.revision != request.path_params["revision"]:
            return Response(status_code=404)
        headers = {"content-security-policy": DRAWING_POLICY}
        if shown.drawn.drawing.startswith(_GZIP):
            headers["content-encoding"] = "gzip"
        return Response(shown.drawn.drawing, media_type="image/svg+xml", headers=headers)

    async def _post_settings(self, request: Request) -> Response:
        wanted = await _body(request)
        if not wanted or not all(isinstance(value, str) for value in wanted.values()):
            return JSONResponse({"trouble": "These are no settings."}, status_code=400)
        await self._make({name: str(value) for name, value in wanted.items()})
        return JSONResponse(self._session.news.value)

    async def _post_write(self, request: Request) -> Response:
        wanted = await _body(request)
        revision = wanted.get("revision")
        try:
            told = await run_sync(self._session.write, revision if isinstance(revision, int) else 0)
        except DeskError as error:
            return JSONResponse({"told": str(error)}, status_code=409)
        return JSONResponse({"told": told})


async def _body(request: Request) -> dict[str, object]:
    """Return the JSON object of a small request, an empty one for anything else."""
    data = b""
    async for part in request.stream():
        data += part
        if len(data) > MOST_BODY:
            return {}
    try:
        value = json.loads(data)
    except ValueError:
        return {}
    return value if isinstance(value, dict) else {}
