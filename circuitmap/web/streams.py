"""The newest answer to everybody who looks at a job, as it changes, whoever changed it: a phone, the command line, or
somebody with an editor.

One look for each job that somebody watches, twice a second: the revision is a hash, so nothing has to be remembered
over a restart, and only the newest state is ever answered.
"""

import asyncio
import json
from collections.abc import AsyncIterator, Coroutine, Iterator, Mapping, Sequence
from concurrent.futures import Executor
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from typing import Any

from circuitmap.failures import Failure
from circuitmap.flows.counts_otherwise import CountsOtherwise
from circuitmap.flows.desk import Desk

LOOK_SECONDS = 0.5
BEAT_SECONDS = 10.0
MOST_STREAMS = 60
WRITES_FIRST_SECONDS = 1.0
"""How long an answer waits for entries that are being written: it would be out of date before it is there."""
QUIET_SECONDS = 0.7
"""After this long without anything new it is worked out what follows from each tap; before, it would be given up."""


@dataclass
class _Watched:
    """A job that somebody looks at: the events that a newcomer gets, and how many were sent so far."""

    latest: dict[str, str] = field(default_factory=dict)
    numbers: dict[str, int] = field(default_factory=dict)
    changed: asyncio.Condition = field(default_factory=asyncio.Condition)
    wake: asyncio.Event = field(default_factory=asyncio.Event)
    watchers: int = 0
    looking: bool = False
    revision: str = ""
    ahead: "asyncio.Task[None] | None" = None

    async def say(self, name: str, value: Any) -> None:
        async with self.changed:
            self.latest[name] = f"event: {name}\ndata: {json.dumps(value, ensure_ascii=True)}\n\n"
            self.numbers[name] = self.numbers.get(name, 0) + 1
            self.changed.notify_all()


@dataclass
class Streams:
    """Everybody who looks, by job. `pool` answers, `beside` works on what can wait."""

    desk: Desk
    pool: Executor
    beside: Executor
    _jobs: dict[str, _Watched] = field(default_factory=dict)
    _tasks: set[asyncio.Task[None]] = field(default_factory=set)
    _writing: int = 0
    _written: asyncio.Event = field(default_factory=asyncio.Event)

    @contextmanager
    def writing(self) -> Iterator[None]:
        """While something is written, answers wait: whoever writes holds a meter, and a look costs many times more."""
        self._writing += 1
        self._written.clear()
        try:
            yield
        finally:
            self._writing -= 1
            if not self._writing:
                self._written.set()

    async def _let_writers_go_first(self) -> None:
        if self._writing:
            with suppress(TimeoutError):
                await asyncio.wait_for(self._written.wait(), WRITES_FIRST_SECONDS)

    @property
    def is_full(self) -> bool:
        return sum(job.watchers for job in self._jobs.values()) >= MOST_STREAMS

    def look_now(self, key: str) -> None:
        """Something was written: do not wait for the next look."""
        if key in self._jobs:
            self._jobs[key].wake.set()

    async def tell_moved(self, key: str, moved: Sequence[CountsOtherwise]) -> None:
        """Whose entries count otherwise since a late one arrived."""
        if moved and key in self._jobs:
            await self._jobs[key].say("moved", [its._asdict() for its in moved])

    async def events(self, key: str) -> AsyncIterator[str]:
        """What a phone is sent as long as it listens."""
        job = self._jobs.setdefault(key, _Watched())
        job.watchers += 1
        if not job.looking:
            job.looking = True
            self._start(self._watch(key, job))
        seen = {"moved": job.numbers.get("moved", 0)}
        try:
            while True:
                fresh = _fresh(job, seen)
                for name in fresh:
                    seen[name] = job.numbers[name]
                    yield job.latest[name]
                if not fresh and not await _changed(job, seen):
                    yield "event: beat\ndata: 1\n\n"
        finally:
            job.watchers -= 1
            job.wake.set()

    def _start(self, work: Coroutine[Any, Any, None]) -> "asyncio.Task[None]":
        task = asyncio.create_task(work)
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)
        return task

    async def _look_ahead(self, key: str, job: _Watched) -> None:
        """What follows from each tap, beside the next answers and once it is quiet: nobody waits for it."""
        await asyncio.sleep(QUIET_SECONDS)
        with suppress(Failure):  # the card that is gone is told where it is looked at
            loop = asyncio.get_running_loop()
            await job.say("ahead", await loop.run_in_executor(self.beside, self.desk.ahead, key))

    async def _watch(self, key: str, job: _Watched) -> None:
        """Look and answer, until nobody watches any more."""
        loop = asyncio.get_running_loop()
        while job.watchers > 0:
            job.wake.clear()
            await self._let_writers_go_first()
            try:
                revision = await loop.run_in_executor(self.pool, self.desk.revision, key)
                if revision != job.revision:
                    await job.say("answer", await loop.run_in_executor(self.pool, self.desk.answer, key))
                    job.revision = revision
                    if job.ahead is not None:
                        job.ahead.cancel()  # what was begun is given up where it is worked out
                    job.ahead = self._start(self._look_ahead(key, job))
            except Exception as failure:  # whatever it is, those who watch are told, and the next state is looked at
                why = failure.message if isinstance(failure, Failure) else f"A bug of circuitmap: {failure!r}"
                if job.revision != why:
                    await job.say("trouble", {"why": why})
                    job.revision = why
            with suppress(TimeoutError):
                await asyncio.wait_for(job.wake.wait(), LOOK_SECONDS)
        job.looking = False
        if self._jobs.get(key) is job:
            del self._jobs[key]


def _fresh(job: _Watched, seen: Mapping[str, int]) -> list[str]:
    return [name for name, number in job.numbers.items() if seen.get(name) != number]


async def _changed(job: _Watched, seen: Mapping[str, int]) -> bool:
    """Wait for something new; False when there was none for the time of a beat."""
    async with job.changed:
        try:
            await asyncio.wait_for(job.changed.wait_for(lambda: bool(_fresh(job, seen))), BEAT_SECONDS)
        except TimeoutError:
            return False
    return True
