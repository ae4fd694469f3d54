"""Battery scales and cell counts, against hand-worked figures."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.trade.battery.readings import cell_counts, current_scale, voltage_scale
from server.trade.solving import NoAnswer


def test_the_worked_divider_scale() -> None:
    # new = old · measured / indicated: 24.6 V shown, 25.2 V true, ×1.02439
    # (P. Horowitz, W. Hill, The Art of Electronics, ch. 1, from memory).
    scale = voltage_scale(Decimal(1), Decimal("25.2"), Decimal("24.6"))
    assert scale == Decimal("1.02439")
    assert voltage_scale(Decimal(110), Decimal("25.2"), Decimal("25.2")) == 110


def test_the_current_scale_by_hand() -> None:
    # 1100 mAh put back, 1000 counted: the craft counts a tenth too little.
    assert current_scale(Decimal(400), Decimal(1100), Decimal(1000)) == 440
    assert str(current_scale(Decimal(400), Decimal(1000), Decimal(1000))) == "400"


volts = st.decimals(6, 60, places=2)


@given(st.decimals("0.5", 500, places=2), volts, st.decimals("0.6", "1.6", places=3))
def test_the_new_scale_shows_what_the_meter_reads(
    old: Decimal, meter: Decimal, factor: Decimal
) -> None:
    shown = meter * factor
    new = voltage_scale(old, meter, shown)
    assert abs(shown / old * new - meter) < Decimal("0.001") * meter


@pytest.mark.parametrize(
    ("old", "meter", "shown", "at"),
    [
        ("0", "25", "25", "scale"),
        ("1", "-1", "25", "meter"),
        ("1", "25", "0", "shown"),
        ("1", "NaN", "25", "meter"),
        ("1", "25", "Infinity", "shown"),
        ("1", "25.2", "12.5", "meter, shown"),
        ("1", "12.5", "25.2", "meter, shown"),
    ],
)
def test_figures_that_cannot_be_are_refused(old: str, meter: str, shown: str, at: str) -> None:
    with pytest.raises(NoAnswer) as refused:
        voltage_scale(Decimal(old), Decimal(meter), Decimal(shown))
    assert refused.value.at == at


def test_current_figures_are_refused_by_their_names() -> None:
    with pytest.raises(NoAnswer) as refused:
        current_scale(Decimal(1), Decimal(0), Decimal(1000))
    assert refused.value.at == "charged"


@pytest.mark.parametrize(
    ("pack", "chemistry", "counts"),
    [
        ("12.6", "LiPo", (3, 4)),
        ("25.2", "LiPo", (6, 7, 8)),
        ("16.8", "LiPo", (4, 5)),
        ("21.0", "LiPo", (5, 6, 7)),
        ("29.4", "LiPo", (7, 8, 9)),
        ("4.35", "LiHV", (1,)),
        ("4.36", "LiHV", ()),
        ("4.21", "LiPo", ()),
        ("5.0", "Li-ion", (2,)),
    ],
)
def test_a_voltage_does_not_tell_the_cells(
    pack: str, chemistry: str, counts: tuple[int, ...]
) -> None:
    # nS full against mS at 3.0 V a cell, worked out by hand.
    assert cell_counts(Decimal(pack), chemistry) == counts
