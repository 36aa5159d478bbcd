"""The files of the pages as browsers get them: scripts and styles below an address that names what all of them hold, so
that a new one is never mixed with an old one."""

import re
from collections.abc import Iterator, Mapping
from hashlib import sha256
from pathlib import Path

from starlette.responses import Response

FOLDERS = ("page", "typing")
"""The bay page, and the typing page, which uses some modules of the other."""
KINDS = {".html": "text/html", ".js": "text/javascript", ".css": "text/css"}
A_WEEK = 604_800
_IMPORTED = re.compile(rb"from '\./(\w+\.js)'")


class PageFiles:
    """All files, by name, read once."""

    def __init__(self) -> None:
        here = Path(__file__).parent
        paths = [path for folder in FOLDERS for path in sorted((here / folder).iterdir()) if path.suffix in KINDS]
        self._files = {path.name: path.read_bytes() for path in paths}
        pages = [name for name in self._files if name.endswith(".html")]
        loaded = b"".join(self._files[name] for name in sorted(self._files) if name not in pages)
        self.version = sha256(loaded).hexdigest()[:12]
        for name in pages:
            modules = "\n".join(self._modules(f"{name.removesuffix('.html')}.js")).encode()
            its = self._files[name].replace(b"VERSION", self.version.encode()).replace(b"MODULES", modules)
            self._files[name] = its

    def _modules(self, first: str) -> Iterator[str]:
        """Elements that load the module in which a page begins, and those that it needs, at once."""
        for name in _needed(self._files, first):
            yield f'<link rel="modulepreload" href="/page/{self.version}/{name}">'
        yield f'<script type="module" src="/page/{self.version}/{first}"></script>'

    def answer(self, name: str, version: str = "", policy: str = "") -> Response:
        if name not in self._files:
            return Response("There is no such page.", 404, media_type="text/plain")
        # A page in the browser's own store opens although the server is gone; only `max-age` does that over plain http.
        keeps = f"private, max-age={A_WEEK}{', immutable' if version else ''}"
        if version and version != self.version:
            # An old page asks for what it lost: it gets the new one, and must not keep it as the old one.
            keeps = "no-store"
        headers = {"Cache-Control": keeps} | ({"Content-Security-Policy": policy} if policy else {})
        return Response(self._files[name], media_type=KINDS[Path(name).suffix], headers=headers)


def _needed(files: Mapping[str, bytes], first: str) -> list[str]:
    """A module and all that it imports, from the names in their texts."""
    found: dict[str, None] = {}
    todo = [first]
    while todo:
        name = todo.pop(0)
        if name not in found and name in files:
            found[name] = None
            todo += [its.decode() for its in _IMPORTED.findall(files[name])]
    return sorted(found)
