"""The parent of servers that are killed: it imports the app once and forks it for each life.

A start from nothing takes seconds, and a hundred of them no test. What is forked is the real app
under uvicorn on a real socket; the database is opened by each child for itself. Run as
`python -m tests.faults.mother FOLDER DATABASE_URL`, it says its port. Then it reads a line at a
time and answers each: 'live' with the process id of a new child, 'bury' with how one ended, 'look
TOKEN PATH' with the status of that page, drawn here so that no child works the same out anew. It
ends, with its children, when its input does.
"""

import gc
import os
import signal
import socket
import sys
from pathlib import Path

import uvicorn
from fastapi import FastAPI

from server.cli.running import make
from server.settings import Settings
from tests.query_counter import Asking

LONGEST_LIFE_S = 120  # a child whose test has died ends by itself


def main(folder: str, database: str) -> None:
    """Fork servers as the test asks for them."""
    app = make(Settings(data=Path(folder), database_url=database, log_level="ERROR"))
    app.state.shop.engine.dispose()
    listening = socket.socket()
    listening.bind(("127.0.0.1", 0))
    listening.listen(128)
    print(listening.getsockname()[1], flush=True)
    children: set[int] = set()
    for line in sys.stdin:
        word, *more = line.split()
        if word == "live":
            gc.freeze()
            children.add(pid := _born(app, listening))
            print(pid, flush=True)
        elif word == "look":
            print(_look(app, *more), flush=True)
        else:
            pid, status = os.wait()
            children.discard(pid)
            print(os.waitstatus_to_exitcode(status), flush=True)
    for pid in children:
        os.kill(pid, signal.SIGKILL)


def _look(app: FastAPI, token: str, path: str) -> int:
    status = Asking(app).get(path, headers={"cookie": f"quadwright={token}"}).status_code
    app.state.shop.engine.dispose()  # no child may inherit a connection
    return status


def _born(app: FastAPI, listening: socket.socket) -> int:
    if pid := os.fork():
        return pid
    signal.alarm(LONGEST_LIFE_S)
    sys.stdin.close()
    config = uvicorn.Config(app, log_level="error", access_log=False)
    uvicorn.Server(config).run([listening])
    os._exit(0)


if __name__ == "__main__":
    main(*sys.argv[1:])
