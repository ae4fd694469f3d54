"""What the command line says of a finding that bars power or the battery."""

from pathlib import Path

import pytest

from server.trade.rules_version import rules_version
from tests import example_sheet
from tests.cli.line import run, write


@pytest.mark.parametrize(
    ("lead", "pad", "shown"),
    [("5V", "10V", "Connect nothing"), ("5V", "VB", "Connect no battery"), ("TX", "T1", "Do: ")],
)
def test_what_a_finding_bars_is_said_in_text(
    lead: str, pad: str, shown: str, tmp_path: Path
) -> None:
    document = example_sheet.document()
    next(w for w in document["wires"] if w["lead"] == lead)["pad"] = pad
    _, out = run("check", write(tmp_path, "barred.json", document))
    assert shown in out
    assert ("Connect" in out) == ("Connect" in shown)
    assert f"Rules {rules_version()}" in out
