"""A client of little weight: one HTTP/1.1 connection kept open, one request at a time on each."""

import asyncio
import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import count
from urllib.parse import urlencode


@dataclass(frozen=True)
class Ask:
    """One request: `form` makes a POST of it."""

    path: str
    cookie: str = ""
    form: Mapping[str, str] = field(default_factory=dict)
    htmx: bool = False

    def sent(self) -> bytes:
        """The request as it goes over the wire."""
        body = urlencode(self.form).encode()
        head = [f"{'POST' if self.form else 'GET'} {self.path} HTTP/1.1", "Host: 127.0.0.1"]
        if self.cookie:
            head.append(f"Cookie: quadwright={self.cookie}")
        if self.htmx:
            head.append("HX-Request: true")
        if self.form:
            head += [
                "Content-Type: application/x-www-form-urlencoded",
                f"Content-Length: {len(body)}",
            ]
        return "\r\n".join([*head, "", ""]).encode() + body


@dataclass(frozen=True)
class Answer:
    """What came back, and how long it took in milliseconds."""

    status: int
    body: bytes
    ms: float


@dataclass(frozen=True)
class Timed:
    """Every answer's time in milliseconds, and how many came in a second."""

    times: tuple[float, ...]
    per_second: float
    bytes: int

    def at(self, share: float) -> float:
        """The time within which this share of the answers came."""
        ranked = sorted(self.times)
        return ranked[min(len(ranked) - 1, int(share * len(ranked)))]


class Line:
    """One connection."""

    def __init__(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        self._reader, self._writer = reader, writer

    @classmethod
    async def open(cls, port: int) -> "Line":
        """Connect to a server on this machine."""
        return cls(*await asyncio.open_connection("127.0.0.1", port, limit=1 << 22))

    async def ask(self, ask: Ask) -> Answer:
        """Send one request and read its whole answer."""
        began = time.perf_counter()
        self._writer.write(ask.sent())
        head = (await self._reader.readuntil(b"\r\n\r\n")).lower()
        status = int(head[9:12])
        body = await self._reader.readexactly(_length(head)) if status != 204 else b""
        return Answer(status, body, (time.perf_counter() - began) * 1000)

    def close(self) -> None:
        """Hang up."""
        self._writer.close()


def _length(head: bytes) -> int:
    _, found, rest = head.partition(b"content-length:")
    return int(rest.split(b"\r\n", 1)[0]) if found else 0


async def once(port: int, ask: Ask) -> Answer:
    """One request on a connection of its own."""
    line = await Line.open(port)
    try:
        return await line.ask(ask)
    finally:
        line.close()


async def timed(
    port: int, asks: Callable[[int], Ask], *, lines: int, most: int, seconds: float
) -> Timed:
    """Ask over `lines` connections until `most` answers came or `seconds` went by.

    `asks` gives the n-th request. Raises RuntimeError for an answer that is not the expected one.
    """
    numbers, began = count(), time.perf_counter()
    open_lines = [await Line.open(port) for _ in range(lines)]

    def due() -> Iterator[int]:
        while time.perf_counter() - began < seconds and (n := next(numbers)) < most:
            yield n

    async def work(line: Line) -> list[Answer]:
        answers = []
        for n in due():
            ask = asks(n)
            answer = await line.ask(ask)
            if answer.status not in ((200, 303) if ask.form else (200,)):
                raise RuntimeError(f"{ask.path} answered {answer.status}: {answer.body[-2000:]!r}")
            answers.append(answer)
        return answers

    try:
        every = [a for some in await asyncio.gather(*map(work, open_lines)) for a in some]
    finally:
        for line in open_lines:
            line.close()
    spent = time.perf_counter() - began
    return Timed(tuple(a.ms for a in every), len(every) / spent, len(every[-1].body))
