"""The links from board to ESC: how long one frame takes, and whether it can answer."""

from dataclasses import dataclass
from fractions import Fraction

PULSES = (
    "trade article 'PWM, OneShot125, OneShot42 and Multishot comparison', and common practice;"
    " the longest pulse"
)
DSHOT = (
    "16 bits: Espressif ESP-IDF example 'DShot ESC' (dshot_esc_encoder.c);"
    " reply of 21 bits after 30 µs at 5/4 of the rate: documentation of the Rust crate dshot-codec"
)

REPLY_TURN_US = 30
REPLY_BITS = 21
FRAME_BITS = 16
REPLY_RATE = Fraction(5, 4)


@dataclass(frozen=True, slots=True)
class MotorLink:
    """One link. `rate` in kbit/s for DShot; `pulse_us` in µs for pulses; neither when brushed."""

    name: str
    source: str
    rate: int | None = None
    pulse_us: int | None = None

    @property
    def digital(self) -> bool:
        """Whether it is DShot, and so can carry the ESC's answer."""
        return self.rate is not None

    def frame_us(self, feedback: bool = False) -> Fraction | None:
        """Exact µs from one frame's start to its end, reply included; None where there is none."""
        if self.rate is None:
            return None if self.pulse_us is None else Fraction(self.pulse_us)
        frame = Fraction(FRAME_BITS * 1000, self.rate)
        if not feedback:
            return frame
        return frame + REPLY_TURN_US + REPLY_BITS * 1000 / (self.rate * REPLY_RATE)


ROWS = (
    MotorLink("PWM", PULSES, pulse_us=2000),
    MotorLink("OneShot125", PULSES, pulse_us=250),
    MotorLink("OneShot42", PULSES, pulse_us=84),
    MotorLink("Multishot", PULSES, pulse_us=25),
    MotorLink("DShot150", DSHOT, rate=150),
    MotorLink("DShot300", DSHOT, rate=300),
    MotorLink("DShot600", DSHOT, rate=600),
    MotorLink("brushed", "common practice, no source: the duty cycle is the drive, no frame"),
)

MOTOR_LINKS: dict[str, MotorLink] = {row.name: row for row in ROWS}
