"""End points and arm switches, against simulated radios and receivers."""

from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from server.trade.radio.arming import Armed
from server.trade.radio.ends import solve
from server.trade.radio.link_loss import LINK_LOSS, remedy
from server.trade.radio.sticks import Span, at_rest, crossed_sticks, overlaps, watched
from server.trade.solving import NoAnswer
from server.trade.tables.serial import SERIAL


def one_channel(low: object, centre: object, high: object) -> dict:
    channel = {"channel": "roll", "low": low, "centre": centre, "high": high}
    answer = solve({"channels": [channel]}).as_json()
    assert answer["switches"] == []
    return answer["channels"][0] | {"codes": [f["code"] for f in answer["findings"]]}


def one_switch(**readings: object) -> dict:
    answer = solve({"switches": [{"switch": "arm", **readings}]}).as_json()
    return answer["switches"][0] | {
        "codes": [(f["code"], f["severity"]) for f in answer["findings"]]
    }


def test_the_worked_example_of_the_contract() -> None:
    document = {
        "channels": [{"channel": "roll", "low": 988, "centre": 1500, "high": 2012}],
        "switches": [
            {"switch": "arm", "rest": 1000, "armed": 2000, "middle": 1500, "radio_off": 1000}
        ],
    }
    assert solve(document).as_json() == {
        "channels": [
            {
                "channel": "roll",
                "low_percent": 97.66,
                "high_percent": 97.66,
                "trim_us": 0,
                "reverse": False,
                "reads": [1000, 1500, 2000],
                "reaches": True,
            }
        ],
        "switches": [{"switch": "arm", "range": {"low": 1750, "high": 2200}, "margin_us": 250}],
        "findings": [],
    }


def reading(stick: int, centre: float, throws: tuple[float, float], answer: dict) -> float:
    """A radio after the change: trim, then each side's throw, then the direction about 1500."""
    side = throws[0] * answer["low_percent"] if stick < 0 else throws[1] * answer["high_percent"]
    trimmed = centre + answer["trim_us"]
    away = stick * side / 100
    return trimmed - away if answer["reverse"] else trimmed + away


US = st.integers(9500, 20500).map(lambda tenths: tenths / 10)


@given(st.integers(1400, 1600), st.floats(50, 700), st.floats(50, 700), st.booleans())
def test_every_radio_then_reads_1000_1500_2000(
    centre: int, low: float, high: float, turned: bool
) -> None:
    throws = (-low, -high) if turned else (low, high)
    answer = one_channel(centre - throws[0], centre, centre + throws[1])
    assert answer["reverse"] is turned
    assert answer["codes"] == []
    reads = [reading(stick, centre, throws, answer) for stick in (-1, 0, 1)]
    assert reads == pytest.approx([1000, 1500, 2000], abs=0.1)
    assert answer["reads"] == [1000, 1500, 2000]


@pytest.mark.parametrize(
    ("low", "centre", "high", "wanted"),
    [
        (1000, 1500, 2000, (100, 100, 0, False)),
        (1010, 1510, 1990, (100, 104.17, -10, False)),
        (2012, 1500, 988, (97.66, 97.66, 0, True)),
        (1100.5, 1500, 1900, (125.16, 125, 0, False)),
    ],
)
def test_ends_trim_and_direction_by_hand(
    low: float, centre: float, high: float, wanted: tuple[float, float, float, bool]
) -> None:
    answer = one_channel(low, centre, high)
    keys = ("low_percent", "high_percent", "trim_us", "reverse")
    assert tuple(answer[key] for key in keys) == wanted


@pytest.mark.parametrize(
    ("readings", "why"),
    [
        ((1500, 1500, 1500), "no throw on its low and high side"),
        ((1500, 1500, 2000), "no throw on its low side"),
        ((1000, 2000, 2000), "no throw on its high side"),
        ((1000, 900, 2000), "outside its ends"),
        ((1000, 2100, 2000), "outside its ends"),
        ((2000, 2100, 1000), "outside its ends"),
        ((1500, 1500.4, 2000), "no throw on its low side"),
        ((0, 0, 0), "no signal"),
        ((1000, 0, 2000), "no signal"),
    ],
)
def test_unusable_channels_are_a_stop(readings: tuple[float, float, float], why: str) -> None:
    answer = one_channel(*readings)
    assert answer["channel"] == "roll"
    assert why in answer["refused"]
    assert answer["codes"] == ["channel-unusable"]
    assert "low_percent" not in answer


readings = st.integers(780, 2230)


@given(readings, readings, st.none() | readings, st.none() | st.sampled_from([0, 500]) | readings)
def test_no_arming_range_covers_a_resting_reading(
    rest: int, armed: int, middle: int | None, radio_off: int | None
) -> None:
    named = {"rest": rest, "armed": armed, "middle": middle, "radio_off": radio_off}
    given = {name: value for name, value in named.items() if value is not None}
    answer = one_switch(**given)
    others = [value for name, value in given.items() if name != "armed"]
    codes = dict(answer["codes"])
    assert codes.get("radio-off-unknown") == (None if radio_off is not None else "caution")
    if "range" in answer:
        low, high = answer["range"]["low"], answer["range"]["high"]
        assert low + 40 <= armed <= high - 40
        assert all(other <= low - 40 or other >= high + 40 for other in others)
        assert 800 <= low <= high <= 2200
        assert "arm-range-unsafe" not in codes
    else:
        assert codes["arm-range-unsafe"] == "stop"
        # Nothing was given away: no range of whole or half µs would do either.
        near = [other for other in others if abs(other - armed) < 80]
        assert near or not 840 <= armed <= 2160


@given(readings, readings, readings)
def test_the_widest_margin_is_chosen(rest: int, armed: int, radio_off: int) -> None:
    answer = one_switch(rest=rest, armed=armed, radio_off=radio_off)
    assume("range" in answer)
    below = [o for o in (rest, radio_off) if o < armed]
    above = [o for o in (rest, radio_off) if o > armed]
    # Tried out: the best end on each side, in half µs.
    halves = [n / 2 for n in range(1600, 4401)]
    low, high = answer["range"]["low"], answer["range"]["high"]
    if below:
        best = max(min(armed - end, end - max(below)) for end in halves)
        assert min(armed - low, low - max(below)) == best or low == 800
    else:
        assert low == 800
    if above:
        best = max(min(end - armed, min(above) - end) for end in halves)
        assert min(high - armed, min(above) - high) == best or high == 2200
    else:
        assert high == 2200
    gaps = [abs(end - o) for o in (rest, radio_off) for end in (low, high)]
    assert 40 <= answer["margin_us"] <= min(gaps)


@pytest.mark.parametrize(
    ("given", "range_", "margin", "words"),
    [
        ((988, 2012, 988), (1500, 2200), 512, "1500 µs and up"),
        ((2000, 1000, 2000), (800, 1500), 500, "1500 µs and down"),
        ((1000, 1500, 2000), (1250, 1750), 250, "1250 to 1750 µs"),
        ((1000, 1999, 1000), (1499.5, 2200), 499.5, "1499.5 µs and up"),
        ((1920, 2000, 1920), (1960, 2200), 40, "1960 µs and up"),
        ((1000, 2160, 1000), (1580, 2200), 580, "1580 µs and up"),
        ((1000, 2000, 0), (1500, 2200), 500, "1500 µs and up"),
        # Radio off reads as no signal, which 'and down' would hold.
        ((2000, 1000, 0), (800, 1500), 500, "800 to 1500 µs"),
        ((2000, 1000, 500), (800, 1500), 300, "800 to 1500 µs"),
    ],
)
def test_ranges_by_hand(
    given: tuple[int, int, int], range_: tuple[float, float], margin: float, words: str
) -> None:
    read = dict(zip(("rest", "armed", "radio_off"), given, strict=True))
    answer = one_switch(**read)
    assert (answer["range"]["low"], answer["range"]["high"]) == range_
    assert answer["margin_us"] == margin
    assert answer["codes"] == []
    (solved,) = solve({"switches": [{"switch": "arm", **read}]}).switches
    assert isinstance(solved, Armed)
    assert solved.words == words


@pytest.mark.parametrize(
    ("given", "cautions"),
    [
        # Armed under rest and within 150 µs of the radio-off reading: common practice, no source.
        ({"rest": 2000, "armed": 1000, "radio_off": 1150}, ["arm-at-low-end"]),
        ({"rest": 2000, "armed": 1000, "radio_off": 1151}, []),
        ({"rest": 2000, "armed": 1000, "radio_off": 880}, ["arm-at-low-end"]),
        ({"rest": 2000, "armed": 1000, "radio_off": 849}, []),
        ({"rest": 1000, "armed": 2000, "radio_off": 1900}, []),
        # With no radio-off reading, under 1200 µs.
        ({"rest": 2000, "armed": 1199}, ["radio-off-unknown", "arm-at-low-end"]),
        ({"rest": 2000, "armed": 1200}, ["radio-off-unknown"]),
        ({"rest": 1000, "armed": 1199}, ["radio-off-unknown"]),
    ],
)
def test_arming_at_the_low_end_is_a_caution(given: dict, cautions: list[str]) -> None:
    answer = one_switch(**given)
    assert "range" in answer
    assert answer["codes"] == [(code, "caution") for code in cautions]


def test_a_refused_low_end_says_both() -> None:
    answer = one_switch(rest=2000, armed=1000, radio_off=1000)
    assert answer["codes"] == [("arm-range-unsafe", "stop"), ("arm-at-low-end", "caution")]


@pytest.mark.parametrize(
    ("three", "reaches"),
    [
        # The limits of the contract on both sides: common practice, no source.
        ((988, 1500, 2012), True),
        ((1010, 1500, 1990), True),
        ((1011, 1500, 1990), False),
        ((1010, 1500, 1989), False),
        ((940, 1500, 2060), True),
        ((939, 1500, 2060), False),
        ((940, 1500, 2061), False),
        ((1000, 1490, 2000), True),
        ((1000, 1489, 2000), False),
        ((1000, 1510, 2000), True),
        ((1000, 1511, 2000), False),
        ((2012, 1500, 988), False),
    ],
)
def test_a_channel_reaches_a_little_past_its_ends(three: tuple[int, int, int], reaches: bool):
    answer = one_channel(*three)
    assert (answer["reaches"], answer["codes"]) == (reaches, [])


def test_findings_bar_the_signature_and_no_retest() -> None:
    switches = [
        {"switch": "a", "rest": 1000, "armed": 1000, "radio_off": 1000},
        {"switch": "b", "rest": 1000, "armed": 2000},
    ]
    stop, caution = solve({"switches": switches}).findings
    assert (stop.severity, stop.bars) == ("stop", "signing")
    assert (caution.severity, caution.bars) == ("caution", "nothing")
    assert list(stop.as_json())[:3] == ["code", "severity", "bars"]


@pytest.mark.parametrize(
    ("given", "why"),
    [
        ({"rest": 1921, "armed": 2000, "radio_off": 1000}, "79 µs apart"),
        ({"rest": 1000, "armed": 2000, "radio_off": 2000}, "armed at radio off too"),
        ({"rest": 1000, "armed": 2000, "middle": 1990, "radio_off": 1000}, "middle, 1990 µs"),
        ({"rest": 1500, "armed": 1500, "radio_off": 1000}, "armed at rest too"),
        ({"rest": 1000, "armed": 2161, "radio_off": 1000}, "end of travel"),
        ({"rest": 2000, "armed": 839, "radio_off": 2000}, "end of travel"),
        ({"rest": 0, "armed": 2000, "radio_off": 0}, "no signal"),
        ({"rest": 1000, "armed": 0, "radio_off": 1000}, "no signal"),
    ],
)
def test_unsafe_switches_are_a_stop(given: dict, why: str) -> None:
    answer = one_switch(**given)
    assert why in answer["refused"]
    assert "range" not in answer
    assert answer["codes"] == [("arm-range-unsafe", "stop")]


def test_an_unknown_radio_off_is_a_caution() -> None:
    answer = one_switch(rest=1000, armed=2000)
    assert answer["range"] == {"low": 1500, "high": 2200}
    assert answer["codes"] == [("radio-off-unknown", "caution")]


CHANNEL = {"channel": "roll", "low": 988, "centre": 1500, "high": 2012}
ARM = {"switch": "arm", "rest": 1000, "armed": 2000}


@pytest.mark.parametrize(
    ("document", "at"),
    [
        ([], "document"),
        ({"channel": []}, "channel"),
        ({"channels": {}}, "channels"),
        ({"channels": [{"channel": "roll", "low": 988, "centre": 1500}]}, "channels[0].high"),
        ({"channels": [CHANNEL | {"low": "988"}]}, "channels[0].low"),
        ({"channels": [CHANNEL | {"low": None}]}, "channels[0].low"),
        ({"channels": [CHANNEL | {"low": -1}]}, "channels[0].low"),
        ({"channels": [CHANNEL | {"low": 5001}]}, "channels[0].low"),
        ({"channels": [CHANNEL | {"low": float("inf")}]}, "channels[0].low"),
        ({"channels": [CHANNEL | {"channel": ""}]}, "channels[0].channel"),
        ({"channels": [CHANNEL | {"channel": 3}]}, "channels[0].channel"),
        ({"channels": [CHANNEL | {"note": "x"}]}, "channels[0].note"),
        ({"channels": [CHANNEL, CHANNEL]}, "channels[1]"),
        ({"switches": [ARM, ARM]}, "switches[1]"),
        ({"switches": [ARM | {"middle": True}]}, "switches[0].middle"),
        ({"switches": [{"switch": "arm", "rest": 1000}]}, "switches[0].armed"),
    ],
)
def test_other_shapes_are_refused_with_their_place(document: object, at: str) -> None:
    with pytest.raises(NoAnswer) as refused:
        solve(document)
    assert refused.value.at == at


def decimals(*values: float) -> list[Decimal]:
    return [Decimal(str(value)) for value in values]


def test_jitter_at_rest_gives_a_deadband() -> None:
    rest = at_rest(decimals(1500, 1501, 1499, 1500, 1502, 1500, 1500, 1498.5, 1500, 1501))
    assert (rest.reads, rest.spread_us, rest.deadband_us) == (1500, Decimal("3.5"), 3)
    assert rest.quiet


def test_a_noisy_stick_is_not_quiet() -> None:
    rest = at_rest(decimals(*[1500] * 9, 1506))
    assert (rest.deadband_us, rest.quiet) == (7, False)


@given(st.lists(st.decimals(1400, 1600, places=1), min_size=10, max_size=40))
def test_the_deadband_covers_every_reading(readings: list[Decimal]) -> None:
    rest = at_rest(readings)
    assert all(abs(reading - rest.reads) < rest.deadband_us for reading in readings)


def test_a_few_readings_say_nothing() -> None:
    with pytest.raises(NoAnswer, match="10 readings"):
        at_rest(decimals(1500, 1501))


@given(st.integers(1400, 1600), st.integers(0, 60))
def test_a_deadband_about_the_centre_keeps_all_that_was_watched(low: int, wide: int) -> None:
    rest = watched(Decimal(low), Decimal(low + wide))
    assert all(abs(us - 1500) < rest.deadband_us for us in (low, low + wide))
    assert rest.deadband_us <= max(abs(low - 1500), abs(low + wide - 1500)) + 1
    assert rest.quiet == (wide <= 10)  # 5 µs to either side: common practice, no source
    with pytest.raises(NoAnswer):
        watched(Decimal(low + 1), Decimal(low))


def test_crossed_sticks_are_named() -> None:
    moved = {"roll": "yaw", "pitch": "pitch", "yaw": "roll", "throttle": "throttle"}
    wrong, (finding,) = crossed_sticks(moved)
    assert wrong == {"roll": "yaw", "yaw": "roll"}
    assert (finding.code, finding.severity, finding.subject) == (
        "channels-crossed",
        "stop",
        "roll, yaw",
    )
    assert crossed_sticks({"roll": "roll"}) == ({}, ())


@pytest.mark.parametrize(
    ("channel", "low", "high", "found"),
    [
        ("aux1", 900, 1300, 0),
        ("aux1", 900, 1750, 1),
        ("aux1", 2100, 2200, 1),
        ("aux1", 1800, 1900, 1),
        ("aux2", 1700, 2100, 0),
    ],
)
def test_ranges_that_touch_arming_are_found(channel: str, low: int, high: int, found: int) -> None:
    arm = Span("arm", "aux1", Decimal(1750), Decimal(2100))
    beeper = Span("beeper", channel, Decimal(low), Decimal(high))
    for spans in ([arm, beeper], [beeper, arm]):
        findings = overlaps("arm", spans)
        assert [f.subject for f in findings] == ["beeper"] * found


def test_every_receiver_protocol_says_how_loss_shows() -> None:
    # S.BUS flags by the received byte: failsafe 0x08, lost frame 0x04 (public S.BUS libraries).
    assert "0x08" in LINK_LOSS["SBUS"].shows
    assert LINK_LOSS.keys() <= SERIAL.keys()
    assert all(row.source and row.shows for row in LINK_LOSS.values())
    # Frames end: CRSF protocol specification, 0x16; DSM remote receiver interfacing Rev G, §7.
    assert {name for name, row in LINK_LOSS.items() if row.stops} == {"CRSF", "DSM", "GHST"}
    assert not any(row.stops and row.flagged for row in LINK_LOSS.values())


@pytest.mark.parametrize(
    ("protocol", "says"),
    [
        ("CRSF", "end its frames"),
        ("SBUS", "the flag in the SBUS frames"),
        ("IBUS", "Nothing in IBUS marks"),
        (None, "no signal"),
        ("MSP", "no signal"),
    ],
)
def test_what_to_set_hangs_on_the_protocol(protocol: str | None, says: str) -> None:
    assert says in remedy(protocol)
