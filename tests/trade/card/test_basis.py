"""What a changed sheet re-opens, what it leaves alone, and how the change is said."""

from collections.abc import Callable
from typing import Any

from server.trade.card import Changes, changed, compare, derive, digest
from server.trade.sheet import from_document
from tests import example_sheet

OLD = derive(example_sheet.sheet())


def after(change: Callable[[dict[str, Any]], None]) -> Changes:
    document = example_sheet.document()
    change(document)
    return compare(OLD, derive(from_document(document)))


def move(document: dict[str, Any], device: str, lead: str, pad: str) -> None:
    for wire in document["wires"]:
        if (wire["device"], wire["lead"]) == (device, lead):
            wire["pad"] = pad


def add_port(document: dict[str, Any]) -> None:
    document["board"]["pads"] += [
        {"pad": "R3", "signal": "rx", "port": "UART3"},
        {"pad": "T3", "signal": "tx", "port": "UART3"},
    ]


def receiver_to_another_port(document: dict[str, Any]) -> None:
    add_port(document)
    move(document, "receiver", "TX", "R3")
    move(document, "receiver", "RX", "T3")


def reopened(changes: Changes) -> list[str]:
    return [opened.step.key for opened in changes.reopened]


def test_the_same_sheet_keeps_every_tick() -> None:
    changes = after(lambda _: None)
    assert changes == Changes((), tuple(s.key for s in OLD.steps()), (), ())


def test_a_moved_receiver_reopens_all_that_rests_on_it() -> None:
    changes = after(receiver_to_another_port)
    again = [
        "radio/protocol",
        "radio/sticks",
        "radio/ends",
        "radio/rest",
        "radio/loss",
        "switches/arm",
        "switches/range",
        "switches/alone",
        "ports/stuck",
    ]
    assert set(again) < set(reopened(changes))
    assert changes.new == ("ports/UART3",)
    assert changes.gone == ("ports/UART1",)


def test_a_moved_receiver_leaves_the_rest_alone() -> None:
    changes = after(receiver_to_another_port)
    kept = [
        "level/flat",
        "level/faces",
        "level/turn",
        "ports/UART4",
        "keep/settings",
        "motors/link",
        "motors/order",
        "motors/spins",
        "battery/volts",
        "picture/overlay/video-unit",
        "before/looks",
    ]
    assert set(kept) < set(changes.kept)


def test_a_moved_lead_is_measured_and_powered_with_care_again() -> None:
    # First power through a limiter after any wiring work: common practice, no source.
    again = set(reopened(after(receiver_to_another_port)))
    assert {"before/shorts", "motors/first-power"} < again
    assert {"before/leads", "check/again", "check/no-radio", "check/radio-off"} < again


def test_a_moved_signal_lead_of_the_esc_is_powered_with_care_again() -> None:
    def change(document: dict[str, Any]) -> None:
        document["esc"]["outputs"] |= {"1": "M2", "2": "M1"}

    changes = after(change)
    assert {"before/leads", "before/shorts", "motors/first-power"} < set(reopened(changes))
    says = {opened.step.key: opened.says for opened in changes.reopened}
    assert says["motors/first-power"] == (
        "ESC channel 1: was M1, now M2; ESC channel 2: was M2, now M1."
    )


def test_another_board_is_powered_with_care_too() -> None:
    changes = after(lambda d: d["board"].update(model="Brindle F7 mk 2"))
    assert {"before/leads", "before/shorts", "motors/first-power"} < set(reopened(changes))


def test_a_port_that_keeps_its_name_reopens_in_place() -> None:
    def change(document: dict[str, Any]) -> None:
        document["board"]["pads"].append({"pad": "R1B", "signal": "rx", "port": "UART1"})
        move(document, "receiver", "TX", "R1B")

    changes = after(change)
    assert "ports/UART1" in reopened(changes)
    assert changes.gone == changes.new == ()


def test_the_change_is_said_in_a_line() -> None:
    changes = after(receiver_to_another_port)
    says = {opened.step.key: opened.says for opened in changes.reopened}
    assert says["radio/ends"] == (
        "board hears receiver on: was R1, now R3; board talks to receiver on: was T1, now T3; "
        "receiver's port: was UART1, now UART3."
    )


def test_another_protocol_leaves_pads_out_of_the_line() -> None:
    def change(document: dict[str, Any]) -> None:
        document["devices"][0]["links"][0]["speaks"] = ["CRSF", "SUMD"]
        document["devices"][0]["links"][0]["set_to"] = "SUMD"

    opened = {o.step.key: o.says for o in after(change).reopened}
    assert opened["radio/protocol"] == "receiver protocol: was CRSF, now SUMD."


def test_more_cells_reopen_what_is_counted_in_volts() -> None:
    changes = after(lambda d: d["battery"].update(cells=4))
    assert reopened(changes) == [
        "before/pack",
        "motors/first-power",
        "battery/warnings",
        "battery/volts",
        "battery/current",
        "check/saved",
    ]


def test_another_board_reopens_the_orientation() -> None:
    changes = after(lambda d: d["board"].update(model="Brindle F7 mk 2"))
    assert {"level/flat", "level/faces", "level/turn", "keep/firmware"} <= set(reopened(changes))


def test_another_name_for_the_craft_reopens_nothing() -> None:
    assert after(lambda d: d["craft"].update(name="Dunlin")).reopened == ()


def test_other_propellers_reopen_the_spins() -> None:
    again = reopened(after(lambda d: d["craft"].update(props="props-out")))
    assert {"motors/plan", "motors/spins", "check/spins"} <= set(again)
    assert "radio/ends" not in again


def test_a_number_written_otherwise_is_the_same_number() -> None:
    changes = after(lambda d: d["battery"].update(cells=6.0) or d["control"].update(loop_hz=4000.0))
    assert changes.reopened == ()


def test_recorded_digests_are_enough_to_compare() -> None:
    document = example_sheet.document()
    receiver_to_another_port(document)
    new = derive(from_document(document))
    recorded = {step.key: step.basis for step in OLD.steps()}
    changes = compare(recorded, new)
    assert reopened(changes) == reopened(compare(OLD, new))
    ends = next(o for o in changes.reopened if o.step.key == "radio/ends")
    assert ends.says.startswith("Changed since: receiver protocol, ")


def test_recorded_parts_say_what_changed() -> None:
    step = OLD.step("battery/volts")
    assert changed({"battery": "4 cells LiPo"}, step) == (
        "battery: was 4 cells LiPo, now 6 cells LiPo."
    )


def test_what_came_and_what_went_are_both_said() -> None:
    step = OLD.step("battery/volts")
    assert changed({"old": "x"}, step) == "battery: now 6 cells LiPo; old: was x, now gone."


def test_a_long_list_of_changes_is_cut_short() -> None:
    assert changed({}, OLD.step("check/saved")).endswith(" more.")


def test_a_digest_does_not_hang_on_the_order_of_parts() -> None:
    assert digest({"a": "1", "b": "2"}) == digest({"b": "2", "a": "1"})
    assert digest({"a": "1", "b": "2"}) != digest({"a": "2", "b": "1"})
    assert len(digest({})) == 24


def test_two_links_on_one_port_have_no_first_and_second() -> None:
    def shared(document: dict[str, Any]) -> None:
        move(document, "video unit", "TX", "R1")
        move(document, "video unit", "RX", "T1")

    def turned(document: dict[str, Any]) -> None:
        shared(document)
        document["devices"].reverse()
        document["wires"].reverse()

    bases = []
    for change in (shared, turned):
        document = example_sheet.document()
        change(document)
        step = derive(from_document(document)).step("ports/UART1")
        assert "receiver + video unit" in step.basis_parts["UART1"]
        bases.append(step.basis)
    assert bases[0] == bases[1]


def test_leads_that_are_written_alike_are_both_kept() -> None:
    document = example_sheet.document()
    for device, lead, pad in (("video", "unit TX", "R1"), ("video unit", "TX", "R4")):
        document["wires"].append({"device": device, "lead": lead, "pad": pad})
    document["wires"] = document["wires"][-2:]
    parts = derive(from_document(document)).step("before/leads").basis_parts
    assert parts["video unit TX"] == "R1; R4"


def test_a_lead_that_is_written_like_an_esc_channel_is_kept() -> None:
    document = example_sheet.document()
    document["wires"] = [{"device": "ESC", "lead": "channel 1", "pad": "R1"}]
    parts = derive(from_document(document)).step("before/leads").basis_parts
    assert parts["ESC channel 1"] == "R1; M1"
