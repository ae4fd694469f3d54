"""An app as a process of its own on this machine, as it is served in earnest: one worker."""

import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).parents[2]
START_SECONDS = 180.0


@contextmanager
def served(factory: str, log: Path, **environment: str) -> Iterator[int]:
    """Run `module:factory` under uvicorn with httptools and uvloop; gives its port.

    What it writes to standard error goes into `log`.
    """
    port = _free_port()
    command = [
        sys.executable, "-m", "uvicorn", factory, "--factory", "--host", "127.0.0.1", "--port",
        str(port), "--http", "httptools", "--loop", "uvloop", "--no-access-log", "--log-level",
        "warning",
    ]  # fmt: skip
    with log.open("ab") as errors:
        process = subprocess.Popen(
            command, cwd=ROOT, env=os.environ | _with_root(environment), stderr=errors
        )
    try:
        _wait_for(port, process)
        yield port
    finally:
        process.terminate()
        process.wait(timeout=30)


def _with_root(environment: Mapping[str, str]) -> dict[str, str]:
    return {"PYTHONPATH": str(ROOT), **environment}


def _wait_for(port: int, process: subprocess.Popen[bytes]) -> None:
    ends = time.monotonic() + START_SECONDS
    while time.monotonic() < ends:
        if process.poll() is not None:
            raise RuntimeError(f"The app ended at its start with {process.returncode}.")
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.1)
    raise RuntimeError(f"Nothing answered on port {port} within {START_SECONDS:g} s.")


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])
