"""A phone without a browser: paired, listening to one job, and sending entries as the page does."""

import json
import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from http.client import HTTPConnection
from threading import Event, Thread
from typing import Any

from tests.bay.served import Served


@dataclass
class Handset:
    """`revisions` are those of the answers that came, in order."""

    server: Served
    who: str
    cookie: str = ""
    key: str = ""
    revisions: list[str] = field(default_factory=list)
    latest: dict[str, Any] = field(default_factory=dict)
    came: Event = field(default_factory=Event)

    def pair(self) -> None:
        code = self.server.code()
        status, said, headers = self._ask("/pair", {"code": code, "name": self.who})
        assert status == 200, said
        self.cookie = headers["set-cookie"].partition(";")[0]
        self.server.next_code(code)
        _, said, _ = self._ask("/jobs")
        self.key = said["jobs"][0]["key"]

    def listen(self) -> None:
        """In the background, as long as the server is there."""
        Thread(target=self._events, daemon=True).start()

    def send(self, lines: Sequence[tuple[str, str]]) -> list[str]:
        """Entries, each an id and a line; what became of each."""
        now = int(time.time() * 1000)
        entries = [{"id": its_id, "line": line, "at_ms": now} for its_id, line in lines]
        status, said, _ = self._ask(f"/jobs/{self.key}/entries", {"sent_ms": now, "entries": entries})
        assert status == 200, said
        return [its["outcome"] for its in said["taken"]]

    def job(self) -> dict[str, Any]:
        """The answer as it is now."""
        status, said, _ = self._ask(f"/jobs/{self.key}")
        assert status == 200, said
        return dict(said)

    def _ask(self, path: str, said: object = None) -> tuple[int, dict[str, Any], dict[str, str]]:
        line = HTTPConnection("127.0.0.1", self.server.port, timeout=60)
        headers = {"Cookie": self.cookie, "Origin": self.server.base.rstrip("/"), "Content-Type": "application/json"}
        if said is None:
            line.request("GET", path, headers=headers)
        else:
            line.request("POST", path, json.dumps(said), headers)
        answer = line.getresponse()
        its = json.loads(answer.read())
        line.close()
        return answer.status, its, {name.lower(): value for name, value in answer.getheaders()}

    def _events(self) -> None:
        line = HTTPConnection("127.0.0.1", self.server.port, timeout=60)
        line.request("GET", f"/jobs/{self.key}/stream", headers={"Cookie": self.cookie})
        answer, name = line.getresponse(), b""
        while text := answer.readline():
            if text.startswith(b"event: "):
                name = text[7:].strip()
            elif text.startswith(b"data: ") and name == b"answer":
                self.latest = json.loads(text[6:])
                self.revisions.append(self.latest["revision"])
                self.came.set()
