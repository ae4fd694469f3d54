"""Laws of the card: every sheet that can be read has one, and the order of its lists is nothing."""

import re
from random import Random
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from server.trade.card import compare, derive
from server.trade.card.bench import slug
from server.trade.power import Power
from server.trade.sheet import from_document
from tests.strategies import Document, documents

KEY = r"[A-Za-z0-9~/-]+"
# Marks with a meaning in addresses, and marks that the keys themselves use.
AWKWARD = ["a b", "a-b", "A-B", "a  b", " ", "~", "%41", "ä/ö", "光", "a_b", "..", "?", "#"]


def shuffled(value: Any, order: Random, key: str = "") -> Any:
    """The same sheet with every list and every object in another order."""
    if isinstance(value, dict):
        pairs = [(name, shuffled(inner, order, name)) for name, inner in value.items()]
        return dict(order.sample(pairs, len(pairs)))
    if isinstance(value, list) and key != "supply_v":
        return order.sample([shuffled(inner, order) for inner in value], len(value))
    return value


@given(documents())
def test_every_sheet_that_can_be_read_has_a_card(document: Document) -> None:
    steps = list(derive(from_document(document)).steps())
    keys = [step.key for step in steps]
    assert "motors/first-power" in keys
    assert len(set(keys)) == len(keys)
    assert all(re.fullmatch(KEY, key) for key in keys)
    assert all(step.target and step.do and step.source for step in steps)
    assert all(set(step.after) | set(step.reads) <= set(keys) for step in steps)


@given(documents())
def test_a_battery_step_comes_after_first_power(document: Document) -> None:
    steps = list(derive(from_document(document)).steps())
    powered = [step for step in steps if not step.states & {Power.COLD, Power.USB}]
    assert {"motors/first-power", "motors/spins", "check/spins"} <= {s.key for s in powered}
    for step in powered:
        assert "motors/first-power" in step.after or step.key == "motors/first-power"


@given(documents())
def test_the_whole_check_comes_after_all_that_it_checks(document: Document) -> None:
    steps = list(derive(from_document(document)).steps())
    # A fix needs open sky and the current's scale a flight; neither waits on a bench.
    # A part's second link of one role has its number behind it.
    waits = re.compile(r"battery/current|.*/position(/\d+)?")
    bench = [s.key for s in steps if not waits.fullmatch(s.key)]
    for step in (s for s in steps if s.stage == "check"):
        assert set(bench[: bench.index(step.key)]) == set(step.after)


@given(documents(), st.integers(0, 2**32))
def test_the_order_of_lists_changes_no_basis(document: Document, seed: int) -> None:
    other = shuffled(document, Random(seed))
    bases = [
        {step.key: step.basis for step in derive(from_document(one)).steps()}
        for one in (document, other)
    ]
    assert bases[0] == bases[1]


@given(documents(), documents())
def test_every_step_is_kept_reopened_new_or_gone(one: Document, other: Document) -> None:
    old, new = derive(from_document(one)), derive(from_document(other))
    changes = compare(old, new)
    again = {opened.step.key for opened in changes.reopened}
    assert again | set(changes.kept) | set(changes.new) == {s.key for s in new.steps()}
    assert set(changes.gone) | again | set(changes.kept) == {s.key for s in old.steps()}
    assert all(new.step(key).basis == old.step(key).basis for key in changes.kept)
    assert all(opened.says.endswith(".") for opened in changes.reopened)


names = st.sampled_from(AWKWARD) | st.text(min_size=1, max_size=60).filter(str.isprintable)


@given(names, names)
def test_two_names_never_share_a_place_in_a_key(one: str, other: str) -> None:
    assert (slug(one) == slug(other)) == (one == other)
    assert re.fullmatch(KEY, slug(one))
