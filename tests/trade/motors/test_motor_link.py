"""Motor links against the loop, by published bit rates and the shares tabled from them."""

from decimal import Decimal

import pytest

from server.trade.motors.motor_link import Fit, choose, row, table

# Share of the loop's period in per cent, computed from the bit rate alone: 16 bits, and with
# feedback 30 µs and 21 bits at 5/4 of the rate (Espressif ESP-IDF example 'DShot ESC'; docs of the
# Rust crate dshot-codec). Analogue rows: trade article on pulse links.
SHARES = [
    ("DShot150", 1000, 10.7, 24.9),
    ("DShot150", 4000, 42.7, 99.5),
    ("DShot150", 8000, 85.3, 198.9),
    ("DShot300", 3200, 17.1, 44.6),
    ("DShot300", 4000, 21.3, 55.7),
    ("DShot300", 8000, 42.7, 111.5),
    ("DShot600", 4000, 10.7, 33.9),
    ("DShot600", 8000, 21.3, 67.7),
    ("DShot600", 16000, 42.7, 135.5),
    ("DShot600", 32000, 85.3, None),
    ("OneShot125", 4000, 100, None),
    ("OneShot125", 2000, 50, None),
    ("OneShot42", 8000, 67.2, None),
    ("Multishot", 32000, 80, None),
    ("PWM", 1000, 200, None),
]


@pytest.mark.parametrize(("link", "loop", "plain", "reply"), SHARES)
def test_shares_are_the_tabled_ones(
    link: str, loop: int, plain: float, reply: float | None
) -> None:
    assert row(link, Decimal(loop)).as_json()["percent"] == pytest.approx(plain, abs=0.06)
    if reply is not None:
        share = row(link, Decimal(loop), feedback=True).as_json()["percent"]
        assert share == pytest.approx(reply, abs=0.06)


@pytest.mark.parametrize(
    ("link", "loop", "feedback", "fit"),
    [
        ("DShot150", "4000", True, Fit.TIGHT),
        ("DShot300", "8000", True, Fit.TOO_LONG),
        ("DShot600", "8000", True, Fit.FITS),
        ("OneShot125", "4000", False, Fit.TIGHT),
        ("OneShot125", "4000.01", False, Fit.TOO_LONG),
        ("OneShot125", "3800", False, Fit.FITS),
        ("OneShot125", "3800.01", False, Fit.TIGHT),
        ("brushed", "32000", False, Fit.FITS),
    ],
)
def test_ends_count_as_inside(link: str, loop: str, feedback: bool, fit: Fit) -> None:
    assert row(link, Decimal(loop), feedback).fit is fit


def test_frames_are_as_long_as_published() -> None:
    # 16 bits at 150, 300 and 600 kbit/s.
    frames = [row(f"DShot{rate}", Decimal(1000)).as_json()["frame_us"] for rate in (150, 300, 600)]
    assert frames == [106.67, 53.33, 26.67]


def test_the_table_has_digital_links_twice() -> None:
    rows = table(Decimal(4000))
    assert [(r.link, r.feedback) for r in rows if r.link.startswith("DShot")] == [
        (f"DShot{rate}", feedback) for rate in (150, 300, 600) for feedback in (False, True)
    ]
    assert len(rows) == 11
    assert all(r.source for r in rows)


def test_feedback_needs_a_digital_link() -> None:
    with pytest.raises(ValueError, match="only DShot"):
        row("PWM", Decimal(1000), feedback=True)


DIGITAL = ("DShot150", "DShot300", "DShot600")


@pytest.mark.parametrize(
    ("speaks", "loop", "feedback", "link"),
    [
        (DIGITAL, 4000, True, "DShot300"),
        (DIGITAL, 8000, False, "DShot300"),
        (DIGITAL, 8000, True, "DShot600"),
        (("DShot150",), 4000, True, "DShot150"),
        (("DShot150", "DShot600"), 4000, True, "DShot600"),
        (("PWM", "OneShot125", "Multishot"), 4000, False, "Multishot"),
        (("PWM", "DShot150"), 4000, True, "DShot150"),
        (("brushed",), 4000, False, "brushed"),
        (DIGITAL, 32000, True, None),
        (("PWM",), 400, True, None),
    ],
)
def test_the_choice_fits_and_prefers_dshot300(
    speaks: tuple[str, ...], loop: int, feedback: bool, link: str | None
) -> None:
    choice = choose(speaks, Decimal(loop), feedback)
    assert choice.link == link
    assert choice.why.endswith(".")


def test_the_reason_names_time_and_share() -> None:
    why = choose(DIGITAL, Decimal(4000), True).why
    assert "139.3 µs, 55.7 % of the loop's period" in why


def test_what_is_left_is_the_rest_of_the_period() -> None:
    # 250 µs at 4 kHz less 139.33 µs for DShot300 with its answer, by the bit rates above.
    left = row("DShot300", Decimal(4000), feedback=True).left_us
    assert left is not None
    assert float(left) == pytest.approx(110.67, abs=0.01)
    over = row("DShot300", Decimal(8000), feedback=True).left_us
    assert over is not None
    assert float(over) == pytest.approx(125 - 139.33, abs=0.01)
    assert row("brushed", Decimal(4000)).left_us is None
