"""Static files: one style sheet, a script for all pages and one for each desk, htmx and the fonts,
each under an address that names its content, so that a browser may keep it for ever.

Everything is put together once at start. htmx comes out of its Python package; nothing is loaded
from another host.
"""

import gzip
import hashlib
import mimetypes
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import reduce
from importlib.util import find_spec
from pathlib import Path
from string import ascii_letters, ascii_lowercase

import brotli  # type: ignore[import-untyped]  # ships no types
from fastapi import Request, Response
from starlette.concurrency import run_in_threadpool

from server.web.site import fonts

FOR_EVER = "public, max-age=31536000, immutable"
FIRST = ("tokens.css", "base.css")
_PROPERTY = re.compile(r"--[a-z][\w-]*")
_SET = re.compile(r"(?<=[{;])(--[a-z][\w-]*):([^;{}]*);?")
_USED = re.compile(r"var\((--[a-z][\w-]*)\)")
_TEXT = ("text/", "image/svg", "application/json")
_WHITE = re.compile(
    r"""(?<==)"([a-z][\w-]*)"(?=\])|("[^"]*"|'[^']*')|/\*.*?\*/\s*|\s*;?\s*(})\s*|\s*([{;,>])\s*"""
    r"""|\s(\+)\s(?=[^(){};]*\{)|(?<=[\w-]):\s+|\s+""",
    re.DOTALL,
)
_BLANKS = re.compile(r"""("(?:[^"\\\n]|\\.)*")|[ \t]*([{;,(])\s*|[ \t]*([})\[\]=<>?:&|!])[ \t]*""")


@dataclass(frozen=True)
class Asset:
    """One file as it is sent: as it is, and packed in the ways a browser may take."""

    digest: str
    media: str
    plain: bytes
    packed: dict[str, bytes]


@dataclass
class Assets:
    """All static files by name. `url` is the templates' `asset`; `answer` is the route."""

    cache: Path
    kept: dict[str, Asset] = field(default_factory=dict)
    cuts: dict[str, fonts.Cut] = field(default_factory=dict)

    @classmethod
    def build(cls, static: Path, cache: Path, *, fonts_now: bool = True) -> "Assets":
        """Bundle what lies in `static`. Fonts are cut into `cache`: those of the first page now,
        unless `fonts_now` is false, the others when they are first asked for."""
        assets = cls(cache, cuts={made.name: made for made in fonts.cuts()})
        for path in sorted(static.glob("*.*")):
            assets._keep(path.name, path.read_bytes())
        assets._keep("htmx.js", _htmx())
        for name, text in scripts(static / "js"):
            assets._keep(name, text.encode())
        assets._keep("quadwright.css", (fonts.css(assets.url) + style(static / "css")).encode())
        for name in assets.cuts if fonts_now else ():
            if name.endswith("-latin.woff2"):
                assets._font(name)
        return assets

    def url(self, name: str) -> str:
        """The address of the file `name`. Raises KeyError when there is none."""
        digest = self.cuts[name].digest if name in self.cuts else self.kept[name].digest
        return f"/assets/{digest}/{name}"

    async def answer(self, request: Request) -> Response:
        """The file that `digest` and `name` of the address ask for."""
        name, digest = request.path_params["name"], request.path_params["digest"]
        if name in self.cuts and name not in self.kept and self.cuts[name].digest == digest:
            await run_in_threadpool(self._font, name)
        asset = self.kept.get(name)
        if asset is None or digest not in (
            asset.digest,
            getattr(self.cuts.get(name), "digest", ""),
        ):
            return Response("No such file.", 404, media_type="text/plain")
        return _sent(asset, request.headers.get("accept-encoding", ""))

    def _font(self, name: str) -> None:
        made = self.cuts[name]
        self.kept[name] = Asset(made.digest, "font/woff2", made.body(self.cache), {})

    def _keep(self, name: str, body: bytes) -> None:
        media = mimetypes.guess_type(name)[0] or "application/octet-stream"
        packed = _packed(body) if media.startswith(_TEXT) else {}
        self.kept[name] = Asset(hashlib.sha256(body).hexdigest()[:12], media, body, packed)


def _packed(body: bytes) -> dict[str, bytes]:
    return {"br": brotli.compress(body), "gzip": gzip.compress(body, mtime=0)}


def _sent(asset: Asset, accepted: str) -> Response:
    takes = {kind for kind, _, weight in _asked(accepted) if weight.strip() != "q=0"}
    way = next((way for way in asset.packed if way in takes), None)
    headers = {"Cache-Control": FOR_EVER}
    if asset.packed:
        headers["Vary"] = "Accept-Encoding"
    if way:
        headers["Content-Encoding"] = way
    body = asset.packed[way] if way else asset.plain
    return Response(body, media_type=asset.media, headers=headers)


def _asked(accepted: str) -> Iterator[tuple[str, str, str]]:
    return (part.strip().partition(";") for part in accepted.split(","))


def _htmx() -> bytes:
    spec = find_spec("js_lib_htmx")
    if spec is None or spec.origin is None:
        raise FileNotFoundError("The package django-js-lib-htmx is not installed.")
    return (Path(spec.origin).parent / "static/htmx/htmx.min.js").read_bytes()


def style(folder: Path) -> str:
    """All style sheets of `folder` as one: tokens, base, then by name; comments left out."""
    return short_names(reduce(joined, (tidy_css(path.read_text()) for path in _in_order(folder))))


def joined(before: str, after: str) -> str:
    """Two tidied style sheets as one; where the second goes on in the layer that the first ended
    in, that layer is not begun anew."""
    begins = f"@layer {before.rpartition('@layer ')[2].partition('{')[0]}{{"
    if before.endswith("}") and after.startswith(begins):
        return before[:-1] + after.removeprefix(begins)
    return before + after


def _in_order(folder: Path) -> Iterator[Path]:
    yield from (folder / name for name in FIRST)
    yield from (path for path in sorted(folder.glob("*.css")) if path.name not in FIRST)


def tidy_css(text: str) -> str:
    """CSS without comments, needless white space and quotes round a word that an attribute is; what
    else stands in quotes stays as it is."""
    return _WHITE.sub(_tidied, text).strip()


def _tidied(found: re.Match[str]) -> str:
    return next(filter(None, found.groups()), {"/": "", ":": ":"}.get(found[0][0], " "))


def short_names(text: str) -> str:
    """CSS with short values in the place of properties that never change, the others renamed to
    --a, --b, …: their names are a tenth of all there is.

    Nothing but our own style sheets may use them, then: no script, no drawing.
    """
    text = _filled_in(text)
    counts = Counter(_PROPERTY.findall(text))
    often = sorted(counts, key=lambda name: (-counts[name], name))
    letters = (a + b for a in ("", *ascii_lowercase) for b in ascii_letters)
    short = {name: f"--{new}" for name, new in zip(often, letters, strict=False)}
    return _PROPERTY.sub(lambda found: short[found[0]], text)


def _filled_in(text: str) -> str:
    """Each property that is set once, to a value no longer than naming it, gives way to it."""
    values: dict[str, list[str]] = {}
    for name, value in _SET.findall(text):
        values.setdefault(name, []).append(value)
    fixed = {n: v[0] for n, v in values.items() if len(v) == 1 and len(v[0]) <= len("var(--a)")}
    text = _SET.sub(lambda found: "" if found[1] in fixed else found[0], text)
    return _USED.sub(lambda found: fixed.get(found[1], found[0]), text)


def scripts(folder: Path) -> Iterator[tuple[str, str]]:
    """What lies in `folder` itself is on every page; each folder in it is a script of its own,
    for the pages that name it (View.scripts)."""
    yield "quadwright.js", script(folder)
    yield from ((f"{desk.name}.js", script(desk)) for desk in sorted(folder.glob("*/")))


def script(folder: Path) -> str:
    """All scripts of `folder` as one, each in a scope of its own; whole-line comments left out."""
    files = sorted(folder.glob("*.js"))
    return '"use strict";\n' + "".join(tidy_js(_scoped(path)) for path in files)


def tidy_js(text: str) -> str:
    """Our own scripts without the white space around brackets, commas and the like; what stands in
    quotes stays as it is. They end each statement with a semicolon and use no template strings."""
    return _BLANKS.sub(lambda found: next(filter(None, found.groups())), text)


def _scoped(path: Path) -> str:
    lines = (line.strip() for line in path.read_text().splitlines())
    kept = "\n".join(line for line in lines if line and not line.startswith("//"))
    return f"(() => {{\n{kept}\n}})();\n"
