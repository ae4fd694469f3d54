"""The signal-word panels. Hazard first, then what to do; at most one a step.

Words by ANSI Z535.4: WARNING could cause death or serious injury, CAUTION minor or moderate injury,
NOTICE no injury but damage. That propellers come off and a limiter goes in is common practice, no
source.
"""

from server.trade.card.model import Hazard

PROPELLERS = Hazard("WARNING", "Propellers cut. Go on only while none is on the craft.")
SHORT = Hazard(
    "WARNING",
    "A battery on a short circuit burns. Connect nothing until the meter shows none.",
)
FIRST_POWER = Hazard(
    "WARNING",
    "A fault can burn the battery and the board. No propeller on the craft, the limiter in the "
    "lead, a hand on the plug. Unplug at heat, smoke or smell.",
)
MOTORS = Hazard(
    "WARNING",
    "Motors start. No propeller on the craft; hands, hair, leads and tools clear. "
    "To stop: pull the battery.",
)
LIPO = Hazard(
    "WARNING",
    "A damaged or shorted lithium battery burns. Use none that is swollen, dented or hot, and keep "
    "the meter's tips apart.",
)
IRON = Hazard(
    "CAUTION", "A soldering iron and its fumes hurt. Use the stand, the extractor and glasses."
)
ANTENNA = Hazard(
    "NOTICE",
    "A video transmitter without its antenna is damaged. Fit the antenna before the battery.",
)
