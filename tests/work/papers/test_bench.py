"""Every kind of evidence has its place for the pen when the tablet is flat."""

from dataclasses import replace
from decimal import Decimal

import pytest

from server.trade.card import KINDS, blanks, derive
from server.trade.card.kinds.spins import Spins
from server.trade.card.kinds.value import Field, Value
from server.trade.card.spec import Option
from tests import make

STEP = next(iter(derive(make.sheet()).steps()))
TICKS = {"tick", "motor-link"}


def asked(spec) -> list[tuple[str, str, str]]:
    return [(b.kind, b.label, b.unit) for b in blanks(replace(STEP, evidence=spec))]


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_each_kind_of_evidence_has_more_than_a_tick(kind):
    given = {
        "value": {"fields": (Field("amps", "Current", "A"),)},
        "choice": {"options": (Option("yes", "It arms"), Option("no", "It does not"))},
    }.get(kind, {})
    told = asked(KINDS[kind].spec(**given))
    assert told
    assert (told == [("box", "done", "")]) == (kind in TICKS)


def test_a_value_is_a_line_with_its_unit_and_its_ways_out():
    spec = Value(
        fields=(Field("amps", "Current", "A", Decimal(0), Decimal(1)),),
        instead=(Option("trip", "The limiter tripped"),),
    )
    assert asked(spec) == [("line", "Current", "A"), ("box", "The limiter tripped", "")]


def test_every_step_of_a_card_has_its_blanks():
    for step in derive(make.sheet()).steps():
        assert list(blanks(step)), step.key


def test_spins_ask_corner_and_way_of_each_output():
    assert [label for _, label, _ in asked(Spins())] == [
        f"output {n}: corner, which way" for n in (1, 2, 3, 4)
    ]
