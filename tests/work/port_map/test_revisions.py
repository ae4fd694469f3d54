"""Drawing up a map and saving it as a revision, on both databases."""

import pytest
from sqlmodel import select

from server.records import builds
from server.records.engine import reading, writing
from server.records.tables import BoardPad, BoardRecord, Build, Component, WireRecord
from server.trade.planner import apply, plan
from server.trade.sheet import dump_json, read_json
from server.work.catalogue import catalogue
from server.work.errors import Locked, Missing, NotAllowed, Stale, Unfit
from server.work.port_map import edit, revisions
from server.work.port_map.edit import Answers
from server.work.queue import queue
from tests import make


@pytest.fixture
def lead(shop):
    return make.lead(shop)


@pytest.fixture
def kit(shop, lead):
    return make.staff(shop, lead, "Kit Thorne")


@pytest.fixture
def number(shop, kit):
    found = make.ticket(shop, kit)
    queue.take(shop, kit, found)
    return found


def draft(shop, number):
    with reading(shop.engine) as connection:
        return builds.draft(connection, make.head(shop, number).id)


def rows(shop, table):
    with writing(shop.engine) as session:
        found = session.exec(select(table)).all()
        session.expunge_all()
        return found


def as_it_stands(sheet, **changed):
    """The answers of the leads form before a hand touched it, with some changed."""
    told = {
        "pads": {s.key: s.pad for s in edit.slots(sheet) if s.pad},
        "outputs": dict(sheet.esc.outputs),
        "set_to": {
            f"{d}-{n}": link.set_to
            for d, part in enumerate(sheet.devices)
            for n, link in enumerate(part.links)
            if link.set_to
        },
        "in_use": {
            f"{d}-{n}": True
            for d, part in enumerate(sheet.devices)
            for n, link in enumerate(part.links)
            if link.in_use
        },
        "esc_set_to": sheet.esc.set_to or "",
        "use_feedback": sheet.esc.use_feedback,
    }
    return Answers(**told | changed)


def test_each_change_of_a_draft_counts_up(shop, kit, number):
    revisions.draw_up(shop, kit, number, sheet=make.sheet(), version=0)
    revisions.draw_up(shop, kit, number, sheet=make.sheet(make.swapped), version=1)
    kept = draft(shop, number)
    assert (kept.version, kept.by_name) == (2, "Kit Thorne")
    assert read_json(kept.sheet.encode()) == make.sheet(make.swapped)


def test_a_change_to_an_older_draft_is_refused(shop, lead, kit, number):
    revisions.draw_up(shop, kit, number, sheet=make.sheet(), version=0)
    with pytest.raises(Stale, match="Somebody else changed this map"):
        revisions.draw_up(shop, lead, number, sheet=make.sheet(make.swapped), version=0)
    assert draft(shop, number).sheet == dump_json(make.sheet())


def test_saving_an_older_draft_is_refused(shop, kit, number):
    revisions.draw_up(shop, kit, number, sheet=make.sheet(), version=0)
    with pytest.raises(Stale):
        revisions.save(shop, kit, number, version=0, act_key=make.key())
    assert make.head(shop, number).revision == 0


def test_a_revision_keeps_the_sheet_to_the_digit(shop, kit, number):
    text = dump_json(make.sheet()).replace('"volts": 5.0', '"volts": 5.000')
    assert "5.000" in text
    revisions.draw_up(shop, kit, number, sheet=read_json(text.encode()), version=0)
    revisions.save(shop, kit, number, version=1, act_key=make.key())
    assert make.head(shop, number).sheet == text
    assert draft(shop, number) is None


def test_saving_twice_makes_one_revision(shop, kit, number):
    revisions.draw_up(shop, kit, number, sheet=make.sheet(), version=0)
    first = revisions.save(shop, kit, number, version=1, act_key="same")
    again = revisions.save(shop, kit, number, version=1, act_key="same")
    assert first.id == again.id
    assert [build.revision for build in rows(shop, Build)] == [1]


def test_parts_and_wires_become_rows(shop, kit, number):
    make.mapped(shop, kit, number)
    parts = {row.id: row.device for row in rows(shop, Component)}
    assert list(parts.values()) == ["receiver", "video unit", "tail light"]
    wires = {(parts[w.component_id], w.lead): (w.pad, w.port) for w in rows(shop, WireRecord)}
    assert wires["receiver", "TX"] == ("R1", "UART1")
    assert wires["tail light", "DIN"] == ("LED", None)
    assert len(wires) == 11  # as many as the example lists


def test_two_builds_share_one_board_row(shop, kit, number):
    make.mapped(shop, kit, number)
    make.mapped(shop, kit, number, make.swapped)
    (board,) = rows(shop, BoardRecord)
    assert (board.maker, board.model, board.listed) == ("Alder & Finch", "Brindle F7", False)
    assert len(rows(shop, BoardPad)) == len(make.sheet().board.pads)
    assert {build.board_id for build in rows(shop, Build)} == {board.id}


def test_the_planners_moves_are_saved_as_a_revision(shop, kit, number):
    make.mapped(shop, kit, number, make.swapped)
    wrong = make.sheet(make.swapped)
    after = apply(wrong, plan(wrong))
    revisions.save(shop, kit, number, version=0, act_key=make.key(), sheet=after)
    assert make.head(shop, number).revision == 2
    saved = read_json(make.head(shop, number).sheet.encode())
    pads = {(w.device, w.lead): w.pad for w in saved.wires}
    assert (pads["video unit", "TX"], pads["video unit", "RX"]) == ("R4", "T4")


def test_there_is_nothing_to_save_without_a_draft(shop, kit, number):
    with pytest.raises(Missing, match="no changed map"):
        revisions.save(shop, kit, number, version=0, act_key=make.key())


def test_giving_up_leaves_the_map_in_force(shop, kit, number):
    make.mapped(shop, kit, number)
    revisions.draw_up(shop, kit, number, sheet=make.sheet(make.swapped), version=0)
    revisions.give_up(shop, kit, number)
    revisions.give_up(shop, kit, number)
    assert draft(shop, number) is None
    assert make.head(shop, number).revision == 1


def test_a_waiting_ticket_gets_no_map(shop, kit):
    waiting = make.ticket(shop, kit)
    with pytest.raises(Locked, match="not on a bench"):
        revisions.draw_up(shop, kit, waiting, sheet=make.sheet(), version=0)


def test_the_counter_draws_no_map(shop, lead, number):
    desk = make.staff(shop, lead, "Ines Marl", "counter")
    with pytest.raises(NotAllowed):
        revisions.draw_up(shop, desk, number, sheet=make.sheet(), version=0)


def test_a_board_comes_back_as_it_went_in(shop, kit):
    made = catalogue.add_board(shop, kit, board=make.sheet().board)
    with reading(shop.engine) as connection:
        whole = catalogue.boards.board(connection, made)
    assert catalogue.board_of(whole) == make.sheet().board
    assert whole.row.listed


def test_a_board_sent_twice_is_entered_once(shop, kit):
    first = catalogue.add_board(shop, kit, board=make.sheet().board)
    assert catalogue.add_board(shop, kit, board=make.sheet().board) == first
    with pytest.raises(Unfit) as no:
        catalogue.add_board(shop, kit, board=make.sheet(make.receiver_moved).board)
    assert no.value.field == "model"
    assert len(rows(shop, BoardRecord)) == 1


def test_only_a_lead_lists_a_board(shop, lead, kit, number):
    make.mapped(shop, kit, number)
    (board,) = rows(shop, BoardRecord)
    with pytest.raises(NotAllowed):
        catalogue.list_board(shop, kit, board.id)
    catalogue.list_board(shop, lead, board.id)
    assert rows(shop, BoardRecord)[0].listed


def test_a_part_comes_back_as_it_went_in(shop, kit):
    part = make.sheet().devices[0]
    told = {
        "kind": "receiver",
        "maker": "Alder & Finch",
        "model": "Lark Nano",
        "supply_v": [4.5, 5.5],
        "amps": 0.15,
        "power": "5V",
        "ground": "GND",
        "links": [
            {
                "role": "receiver",
                "speaks": ["CRSF", "SBUS"],
                "set_to": "CRSF",
                "tx": "TX",
                "rx": "RX",
            }
        ],
    }
    row = catalogue.add_device_model(shop, kit, document=told)
    assert catalogue.add_device_model(shop, kit, document=told).id == row.id
    with reading(shop.engine) as connection:
        found = catalogue.boards.model(connection, row.id)
    assert catalogue.device_of(found, "receiver") == part
    with pytest.raises(Unfit):
        catalogue.add_device_model(shop, kit, document=told | {"amps": 0.2})


def test_untouched_leads_leave_the_sheet_alone():
    sheet = make.sheet()
    assert dump_json(edit.edited(sheet, as_it_stands(sheet))) == dump_json(sheet)


def test_a_moved_lead_keeps_its_wires_place():
    sheet = make.sheet()
    (slot,) = [s for s in edit.slots(sheet) if s.lead.name == "DIN"]
    answers = as_it_stands(sheet)
    moved = edit.edited(sheet, as_it_stands(sheet, pads={**answers.pads, slot.key: "SB"}))
    assert [w.pad for w in moved.wires] == ["SB" if w.lead == "DIN" else w.pad for w in sheet.wires]


def test_an_emptied_lead_is_off_its_pad():
    sheet = make.sheet()
    (slot,) = [s for s in edit.slots(sheet) if s.lead.name == "DIN"]
    pads = {k: v for k, v in as_it_stands(sheet).pads.items() if k != slot.key}
    loose = edit.edited(sheet, as_it_stands(sheet, pads=pads))
    assert [w for w in sheet.wires if w not in loose.wires] == [sheet.wires[8]]
    assert sheet.wires[8].lead == "DIN"


def test_a_pad_not_on_the_board_is_refused():
    sheet = make.sheet()
    with pytest.raises(Unfit, match="no pad R9"):
        edit.edited(sheet, as_it_stands(sheet, pads={"0-0-0": "R9"}))
    with pytest.raises(Unfit, match="not among what it speaks"):
        edit.edited(sheet, as_it_stands(sheet, set_to={"0-0": "GHST"}))


def test_a_lead_on_two_pads_has_two_places():
    def fork(document):
        document["wires"].append({"device": "tail light", "lead": "DIN", "pad": "SB"})

    sheet = make.sheet(fork)
    forked = [(s.key, s.pad) for s in edit.slots(sheet) if s.lead.name == "DIN"]
    assert forked == [("2-0-0", "LED"), ("2-0-1", "SB")]
    assert edit.edited(sheet, as_it_stands(sheet)) == sheet


def test_a_part_goes_with_its_wires():
    less = edit.without_part(make.sheet(), "video unit")
    assert [part.device for part in less.devices] == ["receiver", "tail light"]
    assert {wire.device for wire in less.wires} == {"receiver", "tail light"}
