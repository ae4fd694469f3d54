"""A server whose life a test ends and begins, and people who send acts to it over HTTP."""

import http.client
import os
import signal
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlencode

from sqlalchemy import select

from server.records.columns import core
from server.records.engine import reading
from server.records.tables import Login
from server.work.people import staff
from server.work.shop import Person, Shop
from tests import make

ROOT = Path(__file__).parents[2]
# What a sender meets when the server dies under it.
CUT_OFF = (http.client.HTTPException, OSError)


@dataclass
class Server:
    """The mother, and the port that her children answer on."""

    process: "subprocess.Popen[str]"
    port: int

    def look(self, browser: "Browser", path: str) -> None:
        """Let the mother draw a page, before her first child."""
        assert self._ask(f"look {browser.cookie} {path}") == "200"

    def live(self) -> int:
        """Another server process, by its id."""
        return int(self._ask("live"))

    def kill(self, pid: int) -> None:
        """As the machine's out-of-memory killer would; returns when the process is gone."""
        os.kill(pid, signal.SIGKILL)
        assert self._ask("bury") == str(-signal.SIGKILL), "the server had ended by itself"

    def _ask(self, line: str) -> str:
        assert self.process.stdin
        assert self.process.stdout
        self.process.stdin.write(f"{line}\n")
        self.process.stdin.flush()
        return self.process.stdout.readline().strip()


@contextmanager
def served(folder: Path, database: str) -> Iterator[Server]:
    """A mother with no child yet. Everything of hers ends with the block."""
    command = [sys.executable, "-m", "tests.faults.mother", str(folder), database]
    with tempfile.TemporaryFile() as errors:
        process = subprocess.Popen(
            command,
            cwd=ROOT,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=errors,
            text=True,
            env=os.environ | {"PYTHONPATH": str(ROOT)},
        )
        assert process.stdin
        assert process.stdout
        try:
            said = process.stdout.readline()
            if not said:
                errors.seek(0)
                raise RuntimeError(errors.read().decode())
            yield Server(process, int(said))
        finally:
            process.stdin.close()
            process.wait(30)
            process.stdout.close()


@dataclass
class Browser:
    """Somebody's browser: signed in once, which outlives the server."""

    port: int
    cookie: str
    csrf: str
    line: http.client.HTTPConnection | None = None

    def post(self, path: str, fields: Mapping[str, object]) -> tuple[int, str]:
        """Status and page. Raises one of CUT_OFF where no whole answer came."""
        body = urlencode({"csrf": self.csrf, **fields})
        headers = {
            "Cookie": f"quadwright={self.cookie}",
            "Content-Type": "application/x-www-form-urlencoded",
        }
        try:
            if self.line is None:
                self.line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=20)
            self.line.request("POST", path, body, headers)
            answer = self.line.getresponse()
            return answer.status, answer.read().decode()
        except CUT_OFF:
            self.hang_up()
            raise

    def hang_up(self) -> None:
        """Close the connection; the next act opens another."""
        if self.line is not None:
            self.line.close()
            self.line = None


def signed_in(shop: Shop, by: Person, port: int) -> Browser:
    """A browser of `by`, through the door of the shop itself."""
    token, _ = staff.sign_in(shop, name=by.name, password=make.PASSWORD)
    login = core(Login)
    with reading(shop.engine) as connection:
        query = select(login.c.csrf).where(login.c.token_digest == staff.digest(token))
        return Browser(port, token, connection.execute(query).scalar_one())
