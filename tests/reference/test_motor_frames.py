"""Motor frame times against the published bit rates and the shares of the loop they take."""

from fractions import Fraction

import pytest

from server.trade.rules import check
from server.trade.tables.motor_links import MOTOR_LINKS
from tests.edits import edited, put

# 16 bits: Espressif ESP-IDF example 'DShot ESC'; times are 16/rate, as public DShot tables have.
FRAMES = [("DShot150", 106.67), ("DShot300", 53.33), ("DShot600", 26.67)]

# Share of the loop period in %, plain and with the reply (30 µs and 21 bits at 5/4 of the rate, by
# the documentation of the Rust crate dshot-codec), computed apart from this program.
SHARES = [
    (1000, "DShot150", 10.7, 24.9),
    (1000, "DShot300", 5.3, 13.9),
    (1000, "DShot600", 2.7, 8.5),
    (3200, "DShot150", 34.1, 79.6),
    (3200, "DShot300", 17.1, 44.6),
    (3200, "DShot600", 8.5, 27.1),
    (4000, "DShot150", 42.7, 99.5),
    (4000, "DShot300", 21.3, 55.7),
    (4000, "DShot600", 10.7, 33.9),
    (8000, "DShot150", 85.3, 198.9),
    (8000, "DShot300", 42.7, 111.5),
    (8000, "DShot600", 21.3, 67.7),
    (16000, "DShot300", 85.3, None),
    (16000, "DShot600", 42.7, 135.5),
    (32000, "DShot600", 85.3, None),
]

# Trade article 'PWM, OneShot125, OneShot42 and Multishot comparison'; OneShot42 and Multishot from
# memory; the longest pulse of each.
PULSES = [("PWM", 2000), ("OneShot125", 250), ("OneShot42", 84), ("Multishot", 25)]


@pytest.mark.parametrize(("name", "us"), FRAMES)
def test_a_frame_is_sixteen_bits_long(name: str, us: float) -> None:
    assert float(MOTOR_LINKS[name].frame_us()) == pytest.approx(us, abs=0.01)


@pytest.mark.parametrize(("loop", "name", "plain", "reply"), SHARES)
def test_shares_of_the_loop_agree_with_the_published_rates(loop, name, plain, reply) -> None:
    link = MOTOR_LINKS[name]
    assert float(link.frame_us() * loop / 10_000) == pytest.approx(plain, abs=0.051)
    if reply is not None:
        assert float(link.frame_us(True) * loop / 10_000) == pytest.approx(reply, abs=0.051)


@pytest.mark.parametrize(("name", "us"), PULSES)
def test_pulses_count_by_their_longest(name: str, us: int) -> None:
    assert MOTOR_LINKS[name].frame_us() == us


def test_times_are_exact_fractions() -> None:
    assert MOTOR_LINKS["DShot150"].frame_us() == Fraction(320, 3)
    assert MOTOR_LINKS["DShot150"].frame_us(True) == Fraction(746, 3)  # 106 2/3 + 30 + 112


@pytest.mark.parametrize(("loop", "name", "_plain", "reply"), [r for r in SHARES if r[3]])
def test_the_rules_judge_by_these_shares(loop, name, _plain, reply) -> None:
    found = {f.code for f in check(edited(put("esc/set_to", name), put("control/loop_hz", loop)))}
    expected = {"motor-link-too-slow"} if reply > 100 else set()
    expected |= {"motor-link-tight"} if 95 < reply <= 100 else set()
    assert found == expected
