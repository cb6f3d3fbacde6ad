"""The page: its parts put together as one HTML file that fetches nothing but what its own server tells.

The scripts are modules, so that each can be read alone. One inline script cannot import another, so each
becomes a function that returns what it exports, in the order in which they need each other. The policy names
the hashes of the one style and the one script: nothing else runs.
"""

import base64
import hashlib
import html
import json
import re
from importlib import resources

from svg2chart.chart import Chart
from svg2chart.chartfile import chart_bytes
from svg2chart.proof.shown import shown_beside

MODULES = (
    *("dom", "chart", "shapes", "stamps", "lines", "small", "view", "tiles", "ruling", "board", "input"),
    *("key", "square", "remarks", "drawing", "live", "settings", "marks", "printing", "main"),
)
"""The scripts; each imports from those before it only."""

_IMPORT = re.compile(r'^import (\{[^}]*\}) from "\./(\w+)\.js";$', re.MULTILINE)
_EXPORT = re.compile(r"^export ((?:async )?(?:function|class|const) (\w+))", re.MULTILINE)

LIVE_POLICY = "connect-src 'self'; img-src 'self' data:; frame-src 'self'"
ALONE_POLICY = "img-src blob: data:"
DRAWING_POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; sandbox allow-same-origin"
)
"""What a drawing may do that is laid out in a frame: no script, and nothing from elsewhere."""


def live_page() -> bytes:
    """Return the page that asks its server for everything."""
    return _page("Proof", "", LIVE_POLICY)


def page_of(chart: Chart) -> bytes:
    """Return a page that carries the chart along and needs no network; the same bytes for the same chart.

    Raises ChartFileError and PageError.
    """
    file = chart_bytes(chart)
    name = f"svg2chart squares done {hashlib.sha256(file).hexdigest()[:24]}"
    rest = json.dumps({"name": name, "beside": shown_beside(chart)})
    # "<" could end the script or begin a comment; JSON has it only within text
    content = f'{{"chart": {file.decode()}, {rest[1:]}'.replace("<", "\\u003c")
    element = f'<script type="application/json" id="content">{content}</script>'
    return _page(" ".join(chart.title.split()) or "Chart", element, ALONE_POLICY)


def _page(title: str, content: str, policy: str) -> bytes:
    style, script = _part("page.css"), _script()
    rules = [
        "default-src 'none'",
        f"script-src '{_hash(script)}'",
        f"style-src '{_hash(style)}'",
        "base-uri 'none'",
        "form-action 'none'",
        policy,
    ]
    parts = {
        "TITLE": html.escape(title),
        "POLICY": "; ".join(rules),
        "STYLE": style,
        "CONTENT": content,
        "SCRIPT": script,
    }
    # all at once: what is put in is never looked through for places
    page = re.sub(r"@([A-Z]+)@", lambda place: parts[place[1]], _part("page.html"))
    return page.encode("utf-8")


def _script() -> str:
    return "\n".join(map(_as_function, MODULES))


def _as_function(name: str) -> str:
    """Return a module as a constant of its own name that holds what it exports."""
    source = _part(f"{name}.js")
    exports = ", ".join(found[2] for found in _EXPORT.finditer(source))
    body = _EXPORT.sub(r"\1", _IMPORT.sub(r"const \1 = from_\2;", source))
    return f"const from_{name} = (() => {{\n{body}\nreturn {{ {exports} }};\n}})();"


def _hash(text: str) -> str:
    """Return the source expression of an inline script or style. Source: CSP Level 3, section 2.3.1."""
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode()


def _part(name: str) -> str:
    return resources.files("svg2chart").joinpath("proof", "assets", name).read_text("utf-8")
