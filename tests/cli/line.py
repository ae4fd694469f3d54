"""What the tests of the command line share: running a line, and reading its answer."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

from typer.testing import CliRunner

from server.cli import app
from server.trade.rules_version import rules_version
from tests import example_sheet

EXAMPLE = str(example_sheet.PATH)


SPIN = ["spin", "--outputs", "1=FL:cw,2=RL:ccw,3=RR:cw,4=FR:ccw", "--props", "props-in"]


CHANNEL = {"channel": "roll", "low": 988, "centre": 1500, "high": 2012}


ARM = {"switch": "arm", "rest": 1000, "armed": 2000, "middle": 1500, "radio_off": 1000}


# Every answer with findings says by which version of the rules; it changes with them.
VERSION = {"rules": rules_version()}


def run(*line: object) -> tuple[int, str]:
    """The exit code and standard output; no command may leave with an uncaught error."""
    result = CliRunner().invoke(app, [str(word) for word in line])
    assert result.exception is None or isinstance(result.exception, SystemExit)
    assert "Traceback" not in result.output
    return result.exit_code, result.stdout


def answer(*line: object) -> tuple[int, Any]:
    code, out = run(*line, "--json")
    return code, json.loads(out)


def refused(*line: object) -> dict[str, str]:
    """The error of a line that is refused: exit 2, as JSON, and as text not on standard output."""
    code, document = answer(*line)
    assert code == 2
    assert document.keys() == {"error"}
    assert document["error"].keys() == {"at", "says"}
    assert all(document["error"].values())
    code, out = run(*line)
    assert (code, out) == (2, "")
    return document["error"]


def write(folder: Path, name: str, content: object) -> Path:
    path = folder / name
    path.write_text(content if isinstance(content, str) else json.dumps(content))
    return path


def whole(*line: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    """The command as its own process."""
    call = [sys.executable, "-c", "from server.cli import main; main()", *line]
    return subprocess.run(
        call, capture_output=True, timeout=60, check=False, env=os.environ | environment
    )
