"""Sheets that several commands are tried on."""

from pathlib import Path

import pytest

from tests import example_sheet
from tests.cli.line import write


@pytest.fixture
def stopped(tmp_path: Path) -> Path:
    """The example with its receiver's leads swapped."""
    document = example_sheet.document()
    wires = document["wires"]
    wires[0]["pad"], wires[1]["pad"] = wires[1]["pad"], wires[0]["pad"]
    return write(tmp_path, "stopped.json", document)
