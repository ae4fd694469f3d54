"""Volts of full and empty packs against the charger's data sheet and common practice."""

from decimal import Decimal

import pytest

from server.trade.wiring.feeding import pack_volts
from server.trade.wiring.wiring import Wiring
from tests.edits import edited, put

# Full: charger IC data sheet ACT2804 Rev 3, 4.2 V and 4.35 V a cell. Empty: common practice, no
# source.
PACKS = [
    ("LiPo", 4, "16.80", "13.20"),
    ("LiPo", 6, "25.20", "19.80"),
    ("LiHV", 4, "17.40", "13.20"),
    ("LiHV", 6, "26.10", "19.80"),
    ("Li-ion", 6, "25.20", "16.80"),
    ("LiPo", 1, "4.20", "3.30"),
    ("LiHV", 14, "60.90", "46.20"),
]


@pytest.mark.parametrize(("chemistry", "cells", "full", "empty"), PACKS)
def test_pack_volts_are_exact(chemistry: str, cells: int, full: str, empty: str) -> None:
    sheet = edited(put("battery/chemistry", chemistry), put("battery/cells", cells))
    assert pack_volts(Wiring(sheet)) == (Decimal(empty), Decimal(full))
