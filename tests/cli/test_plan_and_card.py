"""`quadwright plan` and `quadwright card`: the keys of the contract."""

from pathlib import Path

from tests import example_sheet
from tests.cli.line import EXAMPLE, answer


def test_plan_has_the_contract_keys(stopped: Path) -> None:
    code, document = answer("plan", stopped)
    assert code == 1
    assert document.keys() == {"ports", "moves", "changes", "unsolved"}
    assert [row["port"] for row in document["ports"]] == [
        port["port"] for port in example_sheet.document()["board"]["ports"]
    ]
    moves = {(m["device"], m["lead"], m["from"], m["to"]) for m in document["moves"]}
    assert moves == {("receiver", "TX", "T1", "R1"), ("receiver", "RX", "R1", "T1")}
    assert answer("plan", EXAMPLE)[0] == 0


def test_card_has_the_contract_keys(stopped: Path) -> None:
    code, document = answer("card", EXAMPLE)
    assert code == 0
    stages = document["stages"]
    assert len(stages) > 5
    for stage in stages:
        assert {"key", "title", "steps"} <= stage.keys()
        for step in stage["steps"]:
            assert {"key", "number", "title", "do", "target", "why", "source"} <= step.keys()
            assert {"states", "evidence", "hazard", "basis"} <= step.keys()
    assert answer("card", stopped)[0] == 1
