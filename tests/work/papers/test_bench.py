"""Every kind of evidence has its place for the pen when the tablet is flat."""

from dataclasses import replace
from decimal import Decimal

import pytest

from server.trade.card import derive
from server.trade.card import evidence as kinds
from server.work.papers.bench import blanks
from tests import make

STEP = next(iter(derive(make.sheet()).steps()))
CLASSES = [each for each in vars(kinds).values() if isinstance(each, type)]
ALL = [each for each in CLASSES if issubclass(each, kinds.Spec)]
TICKS = {"tick"}


def asked(spec) -> list[tuple[str, str, str]]:
    return [(b.kind, b.label, b.unit) for b in blanks(replace(STEP, evidence=spec))]


@pytest.mark.parametrize("kind", [k for k in ALL if "kind" in vars(k)], ids=lambda k: k.kind)
def test_each_kind_of_evidence_has_more_than_a_tick(kind):
    given = {
        "value": {"fields": (kinds.Field("amps", "Current", "A"),)},
        "choice": {"options": (kinds.Option("yes", "It arms"), kinds.Option("no", "It does not"))},
    }.get(kind.kind, {})
    told = asked(kind(**given))
    assert told
    assert (told == [("box", "done", "")]) == (kind.kind in TICKS)


def test_a_value_is_a_line_with_its_unit_and_its_ways_out():
    spec = kinds.Value(
        fields=(kinds.Field("amps", "Current", "A", Decimal(0), Decimal(1)),),
        instead=(kinds.Option("trip", "The limiter tripped"),),
    )
    assert asked(spec) == [("line", "Current", "A"), ("box", "The limiter tripped", "")]


def test_every_step_of_a_card_has_its_blanks():
    for step in derive(make.sheet()).steps():
        assert list(blanks(step)), step.key


def test_spins_ask_corner_and_way_of_each_output():
    assert [label for _, label, _ in asked(kinds.Spins())] == [
        f"output {n}: corner, which way" for n in (1, 2, 3, 4)
    ]
