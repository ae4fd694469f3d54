"""Crafts as they walk in, each with what a veteran would say: exactly these findings.

The sheets and the answers in `crafts/` were written by hand from the build-sheet format. Common
practice, no source.
"""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from server.trade.card import derive
from server.trade.planner import apply, plan
from server.trade.rules import check
from server.trade.sheet import Sheet, from_document, read_toml, to_document
from tests.trade.planner.planning import wiring_findings

HERE = Path(__file__).parent / "crafts"
VETERAN: dict[str, dict[str, Any]] = tomllib.loads((HERE / "veteran.toml").read_text("utf-8"))


def craft(name: str) -> Sheet:
    return read_toml((HERE / f"{name}.toml").read_bytes())


def test_every_craft_has_its_veteran() -> None:
    assert {path.stem for path in HERE.glob("*.toml")} == VETERAN.keys() | {"veteran"}
    assert len(VETERAN) >= 30


@pytest.mark.parametrize("name", VETERAN)
def test_a_craft_gets_what_a_veteran_says(name: str) -> None:
    found = {f"{f.severity} {f.bars} {f.code} {f.subject}" for f in check(craft(name))}
    assert found == set(VETERAN[name]["finds"])


@pytest.mark.parametrize("name", [name for name, row in VETERAN.items() if "do" in row])
def test_the_advice_is_what_a_veteran_would_do(name: str) -> None:
    advice = [finding.do for finding in check(craft(name))]
    assert [word for word in VETERAN[name]["do"] if not any(word in do for do in advice)] == []


@pytest.mark.parametrize("name", VETERAN)
def test_the_advice_is_never_what_cannot_work(name: str) -> None:
    advice = [finding.do for finding in check(craft(name))]
    wrong = (*VETERAN[name].get("never", ()), "None")
    assert [do for do in advice if any(word in do for word in wrong)] == []


@pytest.mark.parametrize("name", VETERAN)
def test_the_plan_of_a_craft_clears_what_wires_can_clear(name: str) -> None:
    sheet = craft(name)
    found = plan(sheet)
    left = {item.device for item in found.unsolved}
    assert left == set(VETERAN[name].get("left", ()))
    assert left or wiring_findings(apply(sheet, found)) == []


@pytest.mark.parametrize("name", VETERAN)
def test_a_craft_gets_a_bench_card(name: str) -> None:
    card = derive(craft(name)).as_json()
    assert [stage for stage in card["stages"] if not stage["steps"]] == []


@pytest.mark.parametrize("name", VETERAN)
def test_a_craft_can_be_written_and_read_again(name: str) -> None:
    assert from_document(to_document(craft(name))) == craft(name)
