"""The map desk: starting, changing leads, saving, parts, sheets in files."""

import json
import re

import pytest

from server.records.engine import writing
from server.records.tables import Build
from server.trade.sheet import dump_json
from server.work.catalogue import catalogue
from server.work.queue import queue
from tests import make
from tests.web.client import Browser

HTMX = {"HX-Request": "true"}


@pytest.fixture
def lead(shop):
    return make.lead(shop)


@pytest.fixture
def kit(shop, lead):
    return make.staff(shop, lead, "Kit Thorne")


@pytest.fixture
def browser(shop, kit):
    return Browser(shop).sign_in("Kit Thorne")


@pytest.fixture
def taken(shop, kit):
    number = make.ticket(shop, kit)
    queue.take(shop, kit, number)
    return number


def everything(page, action):
    """A form's fields by name, several under one name too."""
    sent = {}
    for name, value in page.form(action).fields:
        sent.setdefault(name, []).append(value)
    return sent


def leads(page):
    """What the leads form sends: its own fields, and which map the page showed."""
    beside = dict(re.findall(r'form="leads" name="(version|base)" value="(\w*)"', page.text))
    assert beside.keys() == {"version", "base"}
    return everything(page, "/map/leads") | beside


def wires(shop, number, browser):
    found = json.loads(browser.get(f"/tickets/{number}/sheet.json").text)
    return {(w["device"], w["lead"]): w["pad"] for w in found["wires"]}


def test_a_ticket_without_a_map_asks_for_a_start(browser, taken):
    page = browser.get(f"/tickets/{taken}/map")
    assert "Start the port map" in page.text
    assert "The catalogue holds no board yet." in page.text
    assert f"/archive?for={taken}" in page.text


def test_a_ticket_nobody_took_offers_no_form(shop, kit, browser):
    page = browser.get(f"/tickets/{make.ticket(shop, kit)}/map")
    assert "Take it first" in page.text
    assert not [form for form in page.forms if "/map/" in form.action]


def test_a_loaded_sheet_saves_as_the_same_file(browser, taken):
    text = dump_json(make.sheet(make.swapped))
    page = browser.submit(
        browser.get(f"/tickets/{taken}/map/sheet").form("/map/sheet"),
        files={"sheet": ("kittiwake.json", text.encode())},
    )
    assert "The sheet is loaded." in page.text
    answer = browser.get(f"/tickets/{taken}/sheet.json").answer
    assert answer.text == text
    assert "attachment" in answer.headers["content-disposition"]


def test_a_broken_sheet_names_its_place(browser, taken):
    text = dump_json(make.sheet()).replace('"port": "UART4"', '"port": "UART9"', 2)
    form = browser.get(f"/tickets/{taken}/map/sheet").form("/map/sheet")
    page = browser.submit(form, files={"sheet": ("a.json", text.encode())})
    assert page.status == 422
    assert "board.pads[" in page.text
    assert 'aria-describedby="sheet-hint sheet-error"' in page.text


def test_a_toml_sheet_is_read_too(browser, taken):
    form = browser.get(f"/tickets/{taken}/map/sheet").form("/map/sheet")
    page = browser.submit(form, files={"sheet": ("a.toml", b"sheet = 2\n")})
    assert page.status == 422
    assert "At craft: is missing." in page.text or "At sheet:" in page.text


def test_the_map_shows_findings_and_least_rework(shop, kit, browser):
    number = make.on_the_bench(shop, kit, make.swapped)
    page = browser.get(f"/tickets/{number}/map")
    assert 'id="finding-1"' in page.text
    assert page.text.count("Port diagram of Kittiwake: Brindle F7") == 2  # wide and narrow
    assert "Save the moves as revision 2" in page.text
    assert "The same as a table" in page.text
    # The video unit's fault opens it first, its two leads marked.
    assert page.text.index("<legend>video unit") < page.text.index("<legend>receiver")
    assert page.text.count('class="lead in-error"') == 2


def test_saving_the_moves_clears_the_stop(shop, kit, browser):
    number = make.on_the_bench(shop, kit, make.swapped)
    page = browser.get(f"/tickets/{number}/map")
    page = browser.submit(page.form("/map/revisions", "Save the moves"), "Save the moves")
    assert "Map revision 2 is saved." in page.text
    assert 'id="finding-1"' not in page.text
    assert wires(shop, number, browser)["video unit", "TX"] == "R4"


def test_only_shown_moves_change_nothing(shop, kit, browser):
    number = make.on_the_bench(shop, kit, make.swapped)
    page = browser.get(f"/tickets/{number}/map?moves=shown")
    assert "Dotted with a cross" in page.text
    assert wires(shop, number, browser)["video unit", "TX"] == "T4"


def test_a_changed_lead_brings_all_but_the_leads(shop, kit, browser):
    number = make.on_the_bench(shop, kit)
    sent = leads(browser.get(f"/tickets/{number}/map")) | {"pads[0-1-0]": ""}
    part = browser.post(f"/tickets/{number}/map/leads", sent, **HTMX)
    assert part.status == 200
    assert 'id="looks"' in part.text
    assert "<select" not in part.text
    assert "link-incomplete" in part.text
    assert 'data-faults="pads[0-1-0]"' in part.text
    assert '<p id="wired" hx-swap-oob="true">14 of 15 wired</p>' in part.text
    assert ("receiver", "RX") not in wires(shop, number, browser)
    # The number of the draft came along, so that the next change is taken.
    version = re.search(r'form="leads" name="version" value="(\d+)"', part.text)
    assert version[1] == "1"


def test_without_script_the_button_checks_the_map(shop, kit, browser):
    number = make.on_the_bench(shop, kit)
    sent = leads(browser.get(f"/tickets/{number}/map")) | {"set_to[0-0]": "SBUS"}
    page = browser.post(f"/tickets/{number}/map/leads", sent)
    assert "The map is checked." in page.text
    assert "Save the map as drawn, revision 2" in page.text
    assert 'value="SBUS" selected' in page.text


def test_an_older_page_changes_nothing(shop, kit, browser):
    number = make.on_the_bench(shop, kit)
    old = leads(browser.get(f"/tickets/{number}/map"))
    browser.post(f"/tickets/{number}/map/leads", old | {"pads[0-1-0]": ""})
    late = browser.post(f"/tickets/{number}/map/leads", old | {"pads[0-0-0]": ""}, **HTMX)
    assert late.status == 409
    assert "Somebody else changed this map meanwhile." in late.text
    assert wires(shop, number, browser)["receiver", "TX"] == "R1"


def test_saving_says_which_ticks_it_takes(shop, kit, browser):
    number = make.to_sign(shop, kit)
    sent = leads(browser.get(f"/tickets/{number}/map")) | {"set_to[0-0]": "SBUS"}
    text = browser.post(f"/tickets/{number}/map/leads", sent).text
    told = re.search(r"Saving this re-opens (\d+) steps?:</b> (.*?)</p>", text)
    assert told
    assert int(told[1]) >= 1
    stay = int(re.search(r"other (\d+) ticks? stays?\.", told[2])[1])
    before = make.head(shop, number)
    assert before.steps_done == before.steps_total
    page = browser.get(f"/tickets/{number}/map")
    browser.submit(page.form("/map/revisions", "Save the map as drawn"), "Save the map as drawn")
    assert make.head(shop, number).steps_again >= int(told[1])
    assert make.head(shop, number).steps_done <= stay


def test_dropped_changes_are_gone(shop, kit, browser):
    number = make.on_the_bench(shop, kit)
    sent = leads(browser.get(f"/tickets/{number}/map")) | {"pads[0-1-0]": ""}
    page = browser.post(f"/tickets/{number}/map/leads", sent)
    page = browser.submit(page.form("/map/draft/end"))
    assert "The changes are dropped." in page.text
    assert wires(shop, number, browser)["receiver", "RX"] == "T1"


def test_a_map_starts_from_a_past_build(shop, kit, browser, taken):
    past = make.on_the_bench(shop, kit, craft_name="Dunlin")
    with writing(shop.engine) as session:
        build = session.get(Build, make.head(shop, past).build_id)
        build.signed_at = shop.now()
    token = browser.get(f"/tickets/{taken}/map/sheet").form("/map/sheet").value("csrf")
    page = browser.post(
        f"/tickets/{taken}/map/start", {"csrf": token, "build": make.head(shop, past).build_id}
    )
    assert "The map starts from the past build." in page.text
    found = json.loads(browser.get(f"/tickets/{taken}/sheet.json").text)
    assert found["craft"]["name"] == "Kittiwake"
    assert found["wires"] == json.loads(make.EXAMPLE.read_text())["wires"]


VALUES = {
    "size_in": "5,0",
    "props": "props-in",
    "speaks": ["DShot300", "DShot600"],
    "esc_set_to": "DShot300",
    "esc_low": "11",
    "esc_high": "26",
    "esc_amps": "50",
    "outputs[1]": "M1",
    "outputs[2]": "M2",
    "outputs[3]": "M3",
    "outputs[4]": "M4",
    "kv": "1900",
    "poles": "14",
    "peak_amps": "38",
    "chemistry": "LiPo",
    "cells": "6",
    "loop_hz": "4000",
}


def test_a_map_starts_from_a_board(shop, kit, browser, taken):
    catalogue.add_board(shop, kit, board=make.sheet().board)
    page = browser.get(f"/tickets/{taken}/map")
    board = re.search(r'<option value="(\d+)"[^>]*>Brindle F7', page.text)[1]
    page = browser.submit(page.form("/map/start", "Start from this board"), board=board)
    assert "The rest of the sheet" in page.text
    page = browser.post(f"/tickets/{taken}/map/values", everything(page, "/map/values") | VALUES)
    assert "The values are in the map." in page.text
    found = json.loads(browser.get(f"/tickets/{taken}/sheet.json").text)
    assert found["board"] == json.loads(make.EXAMPLE.read_text())["board"]
    assert found["esc"]["outputs"] == {"1": "M1", "2": "M2", "3": "M3", "4": "M4"}
    assert found["craft"] == {"name": "Kittiwake", "size_in": 5.0, "props": "props-in"}


def test_a_wrong_value_is_told_beside_its_field(shop, kit, browser, taken):
    made = catalogue.add_board(shop, kit, board=make.sheet().board)
    page = browser.get(f"/tickets/{taken}/map/values?board={made}")
    sent = everything(page, "/map/values") | VALUES
    page = browser.post(f"/tickets/{taken}/map/values", sent | {"cells": "15"})
    assert page.status == 422
    assert '<p class="field-error" id="cells-error">Found 15' in page.text
    page = browser.post(f"/tickets/{taken}/map/values", sent | {"kv": "", "poles": "many"})
    assert page.status == 422
    assert "2 answers to look at" in page.text
    assert 'value="many"' in page.text


def test_values_not_touched_change_no_figure(shop, kit, browser):
    number = make.on_the_bench(shop, kit)
    before = json.loads(browser.get(f"/tickets/{number}/sheet.json").text)
    page = browser.get(f"/tickets/{number}/map/values")
    browser.post(f"/tickets/{number}/map/values", everything(page, "/map/values"))
    assert json.loads(browser.get(f"/tickets/{number}/sheet.json").text) == before


def test_a_part_is_added_on_the_spot(shop, kit, browser):
    number = make.on_the_bench(shop, kit)
    form = browser.get(f"/tickets/{number}/map/parts").form("/map/parts")
    told = {
        "device": "position unit",
        "kind": "position",
        "supply_low": "4,5",
        "supply_high": "5.5",
        "amps": "0.05",
        "role_1": "position",
        "speaks_1": "UBX",
        "tx_1": "TX",
        "rx_1": "RX",
        "power": "5V",
        "ground": "GND",
        "leads": "SDA sda\nSCL scl",
    }
    page = browser.submit(form, "Add this part", **told)
    assert "position unit is on the map. Wire its leads." in page.text
    found = json.loads(browser.get(f"/tickets/{number}/sheet.json").text)["devices"][-1]
    assert found["links"] == [{"role": "position", "speaks": ["UBX"], "tx": "TX", "rx": "RX"}]
    assert found["leads"] == [{"lead": "SDA", "signal": "sda"}, {"lead": "SCL", "signal": "scl"}]
    assert "link-incomplete" in page.text


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"speaks_1": ""}, "speaks_1"),
        ({"supply_low": "9"}, "supply_low"),
        ({"leads": "DIN lamp"}, "leads"),
        ({"device": "receiver"}, "device"),
    ],
)
def test_a_wrong_part_is_told_beside_its_field(shop, kit, browser, changed, field):
    number = make.on_the_bench(shop, kit)
    form = browser.get(f"/tickets/{number}/map/parts").form("/map/parts")
    told = {
        "device": "gnss",
        "kind": "position",
        "supply_low": "4.5",
        "supply_high": "5.5",
        "amps": "0.05",
        "role_1": "position",
        "speaks_1": "UBX",
        "tx_1": "TX",
    }
    page = browser.submit(form, "Add this part", **told | changed)
    assert page.status == 422
    assert f'id="s-{field}-error"' in page.text


def test_a_part_of_the_catalogue_is_added(shop, kit, browser):
    told = {
        "kind": "light",
        "model": "Glim",
        "supply_v": [4.5, 5.5],
        "amps": 0.1,
        "leads": [{"lead": "DIN", "signal": "led"}],
    }
    row = catalogue.add_device_model(shop, kit, document=told)
    number = make.on_the_bench(shop, kit)
    form = browser.get(f"/tickets/{number}/map/parts").form("/map/parts/listed")
    browser.submit(form, model_id=str(row.id), device="front light")
    found = json.loads(browser.get(f"/tickets/{number}/sheet.json").text)["devices"][-1]
    assert found == {"device": "front light"} | told


def test_a_part_taken_off_takes_its_wires(shop, kit, browser):
    number = make.on_the_bench(shop, kit)
    forms = browser.get(f"/tickets/{number}/map/parts").forms
    (light,) = [f for f in forms if ("device", "tail light") in f.fields]
    browser.submit(light)
    assert {device for device, _ in wires(shop, number, browser)} == {"receiver", "video unit"}


def test_the_counter_sees_the_map_and_changes_nothing(shop, lead, kit, browser):
    number = make.on_the_bench(shop, kit)
    make.staff(shop, lead, "Ines Marl", "counter")
    page = Browser(shop).sign_in("Ines Marl").get(f"/tickets/{number}/map")
    assert page.status == 200
    assert "Ask a technician." in page.text
    assert "Check the map" not in page.text


def test_what_was_recorded_meanwhile_is_asked_about_before_saving(shop, kit, browser):
    number = make.on_the_bench(shop, kit)
    sent = leads(browser.get(f"/tickets/{number}/map")) | {"set_to[0-0]": "SBUS"}
    old = browser.post(f"/tickets/{number}/map/leads", sent).form("/map/revisions", "Save the map")
    assert "asked" not in old.names
    make.work_through(shop, kit, number)
    late = browser.submit(old, "Save the map")
    assert late.status == 409
    assert "Meanwhile more was recorded: saving would re-open" in late.text
    assert "Saving this re-opens" in late.text
    assert make.head(shop, number).revision == 1
    form = everything(late, "/map/revisions")
    assert form["asked"]
    page = browser.post(f"/tickets/{number}/map/revisions", form)
    assert "Map revision 2 is saved." in page.text


def by_leads(browser, number):
    sent = leads(browser.get(f"/tickets/{number}/map")) | {"set_to[0-0]": "SBUS"}
    return browser.post(f"/tickets/{number}/map/leads", sent)


def by_values(browser, number):
    form = browser.get(f"/tickets/{number}/map/values").form("/map/values")
    return browser.submit(form, cells="4")


def by_taking_a_part_off(browser, number):
    page = browser.get(f"/tickets/{number}/map/parts")
    return browser.submit(page.form("/map/parts/end"), "Take off")


def by_a_file(browser, number):
    text = dump_json(make.sheet(make.receiver_moved)).encode()
    form = browser.get(f"/tickets/{number}/map/sheet").form("/map/sheet")
    return browser.submit(form, files={"sheet": ("a.json", text)})


WAYS = [by_leads, by_values, by_taking_a_part_off, by_a_file]


@pytest.mark.parametrize("way", WAYS, ids=lambda way: way.__name__)
def test_every_way_to_change_a_map_asks_before_it_re_opens(shop, kit, browser, way):
    """Without script: each of them ends on the map, where what it re-opens stands by the button."""
    number = make.to_sign(shop, kit)
    page = way(browser, number)
    assert re.search(r"Saving this re-opens \d+ steps?:</b>", page.text), way.__name__
    asked = set(everything(page, "/map/revisions")["asked"])
    before = make.head(shop, number).steps_done
    page = browser.submit(page.form("/map/revisions", "Save the map as drawn"), "Save the map")
    assert "Map revision 2 is saved." in page.text
    assert before - len(asked) <= make.head(shop, number).steps_done < before
