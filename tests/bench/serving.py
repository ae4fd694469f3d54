"""An app as a process of its own on this machine, as it is served in earnest: one worker."""

import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
START_SECONDS = 180.0


@dataclass(frozen=True)
class Running:
    """A served app."""

    port: int
    pid: int

    def cpu_ms(self) -> float:
        """The processor time that it has used so far; what its neighbours do is not in it."""
        fields = Path(f"/proc/{self.pid}/stat").read_text().rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) * 1000 / os.sysconf("SC_CLK_TCK")


@contextmanager
def served(factory: str, log: Path, **environment: str) -> Iterator[Running]:
    """Run `module:factory` under uvicorn with httptools and uvloop. Linux only, for `cpu_ms`.

    What it writes to standard error goes into `log`.
    """
    port = _free_port()
    command = [
        sys.executable,
        "-m",
        "uvicorn",
        factory,
        "--factory",
        "--host",
        "127.0.0.1",
        "--port",
        str(port),
        "--http",
        "httptools",
        "--loop",
        "uvloop",
        "--no-access-log",
        "--log-level",
        "warning",
    ]
    with log.open("ab") as errors:
        process = subprocess.Popen(
            command, cwd=ROOT, env=os.environ | _with_root(environment), stderr=errors
        )
    try:
        _wait_for(port, process)
        yield Running(port, process.pid)
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
