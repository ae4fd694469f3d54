"""Faults put into the example sheet on purpose, each with exactly what is to be found.

`FAULTS` holds at least three for every finding code. The expectations were written by hand from the
build-sheet format, never taken from what the rules said.
"""

from tests.trade.rules.seeded_crafts import BUILT_IN, PICTURE, TIMERS
from tests.trade.rules.seeded_likely import BUSES, LIKELY
from tests.trade.rules.seeded_lines import INVERSION, LINES, PORTS, PROTOCOLS
from tests.trade.rules.seeded_power import MOTOR_LINK, OUTPUTS, PACK, SUPPLY
from tests.trade.rules.seeded_several import SEVERAL
from tests.trade.rules.seeded_wires import NAMES, PADS
from tests.trade.rules.seeding import Fault

SINGLE: list[Fault] = [
    *NAMES,
    *PADS,
    *LINES,
    *PORTS,
    *INVERSION,
    *PROTOCOLS,
    *SUPPLY,
    *OUTPUTS,
    *MOTOR_LINK,
    *PACK,
    *BUILT_IN,
    *PICTURE,
    *TIMERS,
    *BUSES,
    *LIKELY,
]
FAULTS: list[Fault] = [*SINGLE, *SEVERAL]
