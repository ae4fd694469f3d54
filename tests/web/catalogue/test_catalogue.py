"""The catalogue desk: boards, parts, and what a lead lists."""

import pytest

from server.web.catalogue import board_lines
from server.web.catalogue.board_lines import BadLine
from tests import make
from tests.web.client import Browser

TOLD = {
    "maker": "Alder & Finch",
    "model": "Brindle F7",
    "mcu": "STM32F722",
    "supply_low": "9",
    "supply_high": "26",
    "rails": "5V, 5.0 V, 2.0 A",
    "ports": "UART1\nUART6, taken by wireless chip\nSOFT1, software, at most 19200 baud",
    "pads": "R1, rx, UART1\n\nT1, tx, UART1, at most 3.3 V\n5V, power, 5V\nVB, power, pack\n"
    "G, ground\nM1, motor, 1, timer TIM3\nLED, led",
}


@pytest.fixture
def lead(shop):
    return make.lead(shop)


@pytest.fixture
def kit(shop, lead):
    return make.staff(shop, lead, "Kit Thorne")


@pytest.fixture
def browser(shop, kit):
    return Browser(shop).sign_in("Kit Thorne")


def test_an_empty_catalogue_says_what_it_will_hold(browser):
    page = browser.get("/catalogue")
    assert "No board stands here yet." in page.text
    assert "No part stands here yet." in page.text
    assert "/catalogue/boards/new" in page.text


def test_a_new_board_shows_its_ports_and_pads(browser):
    page = browser.submit(browser.get("/catalogue/boards/new").form("/boards"), **TOLD)
    assert "Brindle F7 is in the catalogue." in page.text
    assert "taken by wireless chip" in page.text
    assert "takes 3.3 V at most" in page.text
    assert "the battery" in page.text
    assert page.text.count("Port diagram of Brindle F7: Brindle F7") == 2
    assert "not looked over" not in page.text


def test_a_board_entered_for_a_ticket_goes_on_there(shop, kit, browser):
    number = make.ticket(shop, kit)
    page = browser.get(f"/catalogue/boards/new?for={number}")
    page = browser.submit(page.form("/boards"), **TOLD)
    assert "The rest of the sheet" in page.text


@pytest.mark.parametrize(
    ("changed", "field", "says"),
    [
        ({"pads": "R1, rx, UART1\n\nT1, tx"}, "pads", "Line 3: a tx pad needs its port"),
        ({"pads": "R1, rx, UART1\n\nT1, tx, UART9"}, "pads", "Line 3: found &#39;UART9&#39;"),
        ({"rails": "5V, five, 2"}, "rails", "Line 1: Write a number"),
        ({"ports": "UART1\nUART2, fast"}, "ports", "Line 2: “fast” is not known"),
        ({"ports": "UART1\nUART1"}, "ports", "Line 2: found"),
        ({"supply_low": "30"}, "supply_low", "the low end may not be above"),
        ({"mcu": ""}, "mcu", "Say which chip is on it."),
    ],
)
def test_a_wrong_line_is_named(browser, changed, field, says):
    form = browser.get("/catalogue/boards/new").form("/boards")
    page = browser.submit(form, **TOLD | changed)
    assert page.status == 422
    error = page.text.partition(f'id="{field}-error">')[2].partition("</p>")[0]
    assert says in error


def test_the_lead_lists_a_board_met_on_a_sheet(shop, lead, kit, browser):
    make.on_the_bench(shop, kit)
    assert "met on a sheet, not looked over" in browser.get("/catalogue").text
    page = browser.get("/catalogue/boards/1")
    assert "Met on a sheet, not looked over." in page.text
    assert "List this board" not in page.text
    chief = Browser(shop).sign_in("Sunniva Oake")
    page = chief.submit(chief.get("/catalogue/boards/1").form("/listing"))
    assert "Brindle F7 is listed." in page.text
    assert "not looked over" not in chief.get("/catalogue").text


def test_a_new_part_stands_in_the_catalogue(browser):
    form = browser.get("/catalogue/parts/new").form("/catalogue/parts")
    told = {
        "kind": "light",
        "model": "Glim",
        "supply_low": "4.5",
        "supply_high": "5.5",
        "amps": "0.1",
        "leads": "DIN led",
        "power": "5V",
        "ground": "G",
    }
    page = browser.submit(form, **told)
    assert "Glim is in the catalogue." in page.text
    again = browser.submit(form, **told | {"amps": "0.3"})
    assert again.status == 422
    assert "with other data" in again.text


def test_the_counter_enters_no_board(shop, lead):
    make.staff(shop, lead, "Ines Marl", "counter")
    browser = Browser(shop).sign_in("Ines Marl")
    assert "Enter a board" not in browser.get("/catalogue").text
    page = browser.submit(browser.get("/catalogue/boards/new").form("/boards"), **TOLD)
    assert page.status == 403


def test_a_board_that_is_not_there_is_said(browser):
    page = browser.get("/catalogue/boards/999")
    assert page.status == 404
    assert "There is no such board." in page.text


def test_lines_are_read_as_a_sheet_has_them():
    (pad,) = board_lines.pads("SB, rx, UART3, inverter, at most 3.3 V")
    assert pad == {
        "pad": "SB",
        "signal": "rx",
        "port": "UART3",
        "inverter": True,
        "max_v": board_lines.Decimal("3.3"),
    }
    with pytest.raises(BadLine, match="Line 1: “loud” is not known"):
        board_lines.pads("SB, rx, UART3, loud")
