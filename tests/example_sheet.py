"""The build-sheet format's own example, fresh on each call so that a test may change it."""

import json
from pathlib import Path
from typing import Any

from server.trade.sheet import Sheet, read_json

PATH = Path(__file__).parent / "data" / "example.json"
TEXT = PATH.read_bytes()


def document() -> dict[str, Any]:
    """The example as plain values, the caller's own copy."""
    found: dict[str, Any] = json.loads(TEXT)
    return found


def sheet() -> Sheet:
    """The example as a sheet."""
    return read_json(TEXT)
