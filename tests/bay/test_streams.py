"""Everybody who looks gets the newest state once; the last one who leaves ends the looking."""

import asyncio
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from circuitmap.failures import CannotRead
from circuitmap.web.streams import MOST_STREAMS, Streams


class FakeDesk:
    """A desk whose states are numbers; 13 cannot be answered."""

    def __init__(self) -> None:
        self.state, self.looks, self.answers = 1, 0, 0

    def revision(self, key: str) -> str:
        self.looks += 1
        if self.state == 13:
            raise CannotRead("The card is not there any more.")
        return str(self.state)

    def answer(self, key: str) -> dict[str, Any]:
        self.answers += 1
        return {"revision": str(self.state)}

    def ahead(self, key: str) -> dict[str, Any]:
        return {"revision": str(self.state), "follows": {}}


async def until(events: Any, words: str) -> str:
    async for event in events:
        if words in event:
            return str(event)
    raise AssertionError(words)


def test_two_who_look_cost_one_answer_and_see_each_state() -> None:
    async def look() -> None:
        desk = FakeDesk()
        with ThreadPoolExecutor(1) as pool:
            streams = Streams(desk, pool, pool)  # type: ignore[arg-type]
            one, other = streams.events("k"), streams.events("k")
            for events in (one, other):
                await until(events, 'answer\ndata: {"revision": "1"}')
            assert desk.answers == 1
            desk.state = 2
            streams.look_now("k")
            for events in (one, other):
                await until(events, 'answer\ndata: {"revision": "2"}')
            assert desk.answers == 2
            desk.state = 13
            await until(one, "not there any more")
            desk.state = 3
            await until(one, 'answer\ndata: {"revision": "3"}')
            await one.aclose()
            await other.aclose()
            await asyncio.sleep(0.7)
            looks = desk.looks
            await asyncio.sleep(0.7)
            assert desk.looks == looks, "nobody looks any more"

    asyncio.run(look())


@pytest.mark.parametrize(
    ("listening", "full"), [(MOST_STREAMS - 1, False), (MOST_STREAMS, True), (MOST_STREAMS + 1, True)]
)
def test_only_so_many_listen(listening: int, full: bool, tmp_path: Path) -> None:
    async def look() -> None:
        with ThreadPoolExecutor(1) as pool:
            streams = Streams(FakeDesk(), pool, pool)  # type: ignore[arg-type]
            all_events = [streams.events("k") for _ in range(listening)]
            for events in all_events:
                await anext(events)
            assert streams.is_full == full
            for events in all_events:
                await events.aclose()

    asyncio.run(look())
