"""Who may ask the live page: only browsers on this machine, and for changes only the page itself.

A page of the web can send requests to the loopback address, and can give its own name this address after it
was loaded. So the Host header must be ours, and what changes something must come from our own origin
(RFC 6454) as JSON, which no form of another site can send. All paths lie under a key that only the page's
address holds.
"""

from collections.abc import Iterable

from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

LOOPBACK = "127.0.0.1"
SAFE_METHODS = {"GET", "HEAD"}

HEADERS = (
    (b"cache-control", b"no-store"),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"cross-origin-opener-policy", b"same-origin"),
)


class Guard:
    """The application behind these rules, for a server that speaks plain HTTP only."""

    def __init__(self, app: ASGIApp, *, port: int) -> None:
        self._app = app
        self._hosts = {f"{name}:{port}" for name in (LOOPBACK, "localhost")}
        self._origins = {f"http://{host}" for host in self._hosts}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or refuse it."""

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = [*message["headers"], *HEADERS]
            await send(message)

        refusal = self._refusal(scope["method"], scope["headers"])
        await (refusal or self._app)(scope, receive, send_guarded)

    def _refusal(self, method: str, headers: Iterable[tuple[bytes, bytes]]) -> PlainTextResponse | None:
        named: dict[str, list[str]] = {}
        for name, value in headers:
            named.setdefault(name.decode("latin-1").lower(), []).append(value.decode("latin-1"))
        hosts = named.get("host", [])
        if len(hosts) != 1 or hosts[0].lower() not in self._hosts:
            return PlainTextResponse("This address is not served here.", status_code=421)
        if method in SAFE_METHODS:
            return None
        origins, kinds = named.get("origin", []), named.get("content-type", [])
        is_own = len(origins) == 1 and origins[0] in self._origins
        if not is_own or kinds != ["application/json"]:
            return PlainTextResponse("Only the page itself may ask for this.", status_code=403)
        return None
