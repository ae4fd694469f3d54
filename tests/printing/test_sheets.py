"""The sheets as one holds them: texts, pages, margins, type sizes, ink."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from server import printing
from server.printing.sheets.parts import BENCH_ONLY, Panel
from server.printing.sheets.pickup_sheet import FIRST_FLIGHT as PICKUP_FLIGHT
from tests.printing import samples
from tests.printing.reading import (
    ink_box,
    is_grey,
    letters_of,
    picture,
    reader,
    sizes_on,
    text_of,
)

PAPERS = ("a4", "us-letter")
PAGE_SIZED = [name for name in samples.USUAL if not name.startswith("tag")]
POINTS = {"a4": (595, 842), "us-letter": (612, 792)}  # ISO 216; 8.5 × 11 in


def on(paper, sheet):
    return replace(sheet, paper=paper)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", PAGE_SIZED)
def test_pages_have_the_papers_size(name, paper):
    for page in reader(samples.usual_pdf(name, paper)).pages:
        assert (round(page.mediabox.width), round(page.mediabox.height)) == POINTS[paper]


@pytest.mark.parametrize(("size", "wide", "tall"), [("62mm", 62, None), ("57x32mm", 57, 32)])
@pytest.mark.parametrize("tag", [samples.TAG, samples.HARD["tag62"]])
def test_labels_are_one_page_of_their_size(tag, size, wide, tall):
    (page,) = reader(replace(tag, size=size).pdf()).pages
    assert float(page.mediabox.width) == pytest.approx(wide * 72 / 25.4, abs=0.1)
    if tall:
        assert float(page.mediabox.height) == pytest.approx(tall * 72 / 25.4, abs=0.1)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(
    ("name", "usual"),
    [("claim", 1), ("pickup", 2), ("returned", 1), ("card", 1), ("map", 1), ("estimate", 1)],
)
def test_usual_sheets_keep_their_page_count(name, usual, paper):
    assert len(reader(samples.usual_pdf(name, paper)).pages) == usual


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", PAGE_SIZED)
def test_hard_cases_stay_inside_the_margins(name, paper):
    """Long words, fifty lines, twelve ports: 13 mm at the sides, 11 above, 5 below stay white."""
    pages = on(paper, samples.HARD[name]).pages(50)
    side = 13 / 25.4 * 50
    for page in map(picture, pages):
        left, top, right, bottom = ink_box(page)
        assert left >= side
        assert right <= page.width - side
        assert top >= side * 11 / 13
        assert bottom <= page.height - side * 5 / 13


@pytest.mark.parametrize("size", ["62mm", "57x32mm"])
@pytest.mark.parametrize("text", [samples.LONG_WORD, samples.LONG_NAME, samples.MIXED, "Ab"])
def test_labels_leave_a_white_edge(size, text):
    tag = replace(
        samples.TAG, size=size, ticket="1204127", craft=text, customer=text, promised=text
    )
    label = picture(tag.pages(200)[0])
    edge = 1.5 / 25.4 * 200
    left, top, right, bottom = ink_box(label)
    assert min(left, top, label.width - right, label.height - bottom) >= edge


@pytest.mark.parametrize("name", PAGE_SIZED)
def test_every_page_of_hard_cases_is_numbered(name):
    pages = reader(samples.hard_pdf(name)).pages
    assert len(pages) > 1
    for number, page in enumerate(pages, 1):
        assert f"Sheet {number} of {len(pages)}" in " ".join(page.extract_text().split())


@pytest.mark.parametrize("name", samples.USUAL)
def test_type_is_never_under_eight_points(name):
    for pdf in (samples.usual_pdf(name), samples.hard_pdf(name)):
        sizes = set().union(*(sizes_on(page) for page in reader(pdf).pages))
        assert sizes
        assert min(sizes) >= 8


def test_tall_drawing_is_cut_and_not_shrunk():
    pages = [page.extract_text() for page in reader(samples.hard_pdf("map")).pages]
    assert "Drawing, part 1 of 2" in pages[0]
    assert "Drawing, part 2 of 2" in pages[1]
    assert "part 1 of" not in text_of(samples.usual_pdf("map"))


@pytest.mark.parametrize("name", samples.USUAL)
def test_sheets_are_printed_without_colour(name):
    assert all(is_grey(picture(page)) for page in samples.USUAL[name].pages(60))


def test_user_text_is_printed_literally():
    sheet = replace(samples.CLAIM, words=samples.HOSTILE, customer=samples.HOSTILE)
    read = letters_of(sheet.pdf())
    assert read.count("".join(samples.HOSTILE.split())) >= 2


def test_long_words_are_printed_whole():
    assert samples.LONG_WORD in letters_of(samples.hard_pdf("claim"))


def test_hidden_characters_bring_a_note():
    note = "stands for a character that this sheet’s type cannot print"
    assert note in text_of(replace(samples.CLAIM, customer="Kit 🚁").pdf())
    assert note not in text_of(samples.usual_pdf("claim"))


@pytest.mark.parametrize("name", ["claim", "pickup", "estimate"])
def test_fifty_lines_and_their_total_are_all_there(name):
    read = text_of(samples.hard_pdf(name))
    assert [int(n) for n in re.findall(r"Line (\d+):", read)] == list(range(1, 51))
    assert read.rindex("Line 50:") < read.rindex("To pay" if name == "pickup" else "Total")


def test_claim_slip_tells_all_that_was_left():
    read = text_of(samples.usual_pdf("claim"))
    for said in (
        samples.SHOP.name,
        "0412",
        "Perrin Vale",
        "Kittiwake, 5 in, 6S LiPo",
        "Does not arm",
        samples.CLAIM.words,
        "1 battery, health good",
        "One arm scratched",
        "Fri 27 Nov, 17:00",
        "Set-up, with bench test 45.00",
        "Total 45.00",
        samples.CLAIM.terms,
    ):
        assert said in read
    assert samples.CLAIM.status_url in letters_of(samples.usual_pdf("claim"))


def test_pickup_sheet_tells_what_was_proven():
    read = text_of(samples.usual_pdf("pickup"))
    for said in (
        "Your quad, set up and bench-tested",
        "Collected by Perrin Vale on Friday 27 November",
        "7QF2 9KXM",
        "An update had erased all settings.",
        "Output 4 (front right) reversed.",
        "Props-in.",
        "FL and RR: clockwise.",
        "ARMED",
        "0.41 A",
        "0.24 to 0.48 A",
        "Hover low for half a minute.",
        "No flight by the shop.",
        "Accepted by Rhea Moss",
        "WARNING",
        "To pay 48.00",
        "Received by Perrin Vale",
        "R1 from TX",
        BENCH_ONLY,
    ):
        assert said in read


@pytest.mark.parametrize("pdf", [samples.usual_pdf, samples.hard_pdf])
def test_warning_and_first_flight_stand_above_the_money(pdf):
    front = " ".join(reader(pdf("pickup")).pages[0].extract_text().split())
    steps = [front.index(f"{n}. {said}") for n, said in enumerate(FIRST_FLIGHT, 1)]
    assert front.index("WARNING") < steps[0]
    assert steps == sorted(steps)
    whole = text_of(pdf("pickup"))
    assert whole.index("Hover low") < min(map(whole.index, ("To pay", "What is owed")))


# The order of a first flight: common practice, no source. Typed here, and not read from the sheet.
FIRST_FLIGHT = (
    "Read the rules",
    "Propellers off. Plug in the battery, arm, disarm.",
    "At the field, put the",
    "Hover low for half a minute.",
    "Land, disarm and unplug the battery. Only then feel each",
    "Before you fly higher, see the battery warning and the failsafe",
)


def test_nothing_is_touched_before_its_battery_is_off():
    after_flight = next(said for said in PICKUP_FLIGHT if "feel each motor" in said)
    assert re.search("disarm.* unplug.*feel each motor", after_flight)
    indoors = next(said for said in PICKUP_FLIGHT if "Propellers off" in said)
    assert re.search("arm, disarm.*radio off.*motors stop.*Unplug", indoors)
    assert not any("ouch" in said for said in PICKUP_FLIGHT)


def test_returned_sheet_names_what_is_unsafe():
    read = text_of(samples.usual_pdf("returned"))
    unsafe = read.index("What remains unsafe")
    assert read.index("WARNING") < unsafe < read.index("What was done")
    assert "Stop 2: The video unit's supply lead is on a 10 V pad" in read
    assert "Keep the propellers off and do not fly it" in read
    assert BENCH_ONLY in read


def test_returned_without_findings_says_nothing_proven():
    assert "Nothing was proven" in text_of(replace(samples.RETURNED, unsafe=()).pdf())


def test_bench_card_asks_propellers_before_power():
    read = text_of(samples.usual_pdf("card"))
    asked = read.index("How many propellers are on it now?")
    assert read.index("1.1") < asked < read.index("First power: read the current at rest")
    assert read.count("How many propellers are on it now?") == 1


def test_bench_card_with_stop_warns_at_head():
    read = text_of(replace(samples.CARD, stops=("Video unit on 10 V",)).pdf())
    assert "Connect none until the list is clear" in read
    assert read.index("Video unit on 10 V") < read.index("Before power")
    assert "Connect none until" not in text_of(samples.usual_pdf("card"))


def test_recorded_step_prints_its_evidence():
    read = text_of(samples.usual_pdf("card"))
    assert "0 propellers KT 13:21" in read


def test_test_log_carries_signature_and_digest():
    read = text_of(samples.usual_pdf("log"))
    for said in (
        samples.VERIFY.digest,
        samples.LOG.previous_digest,
        "Kit Thorne",
        "25 Nov 2026, 15:31",
        "7QF2 9KXM",
        samples.URL,
        "corrects the entry of 14:33",
        BENCH_ONLY,
    ):
        assert said in read


def test_first_log_has_none_before_it():
    first = replace(samples.LOG, previous_digest="")
    assert "none, this is the shop’s first" in text_of(first.pdf())


def test_agreed_estimate_has_no_line_to_sign():
    agreed = replace(samples.ESTIMATE, agreed="Perrin Vale by phone, 23 Nov, up to 60.00")
    assert "Agreed by" not in text_of(agreed.pdf())
    assert "by phone, 23 Nov" in text_of(agreed.pdf())
    assert "Agreed by Perrin Vale" in text_of(samples.usual_pdf("estimate"))


@pytest.mark.parametrize("word", ["WARNING", "CAUTION", "NOTICE"])
def test_signal_panels_print_their_word(word):
    assert word in text_of(replace(samples.PICKUP, warning=Panel(word, "Hot iron.")).pdf())


def test_sheets_never_vouch_for_the_craft():
    """REF-H10: a log records a bench set-up; no sheet says more."""
    room = Path(printing.__file__).parent
    for source in (*room.rglob("*.py"), *room.rglob("*.typ")):
        said = source.read_text().lower()
        for claim in ("certified", "legal", "approved", "ready to fly", "airworthy"):
            assert claim not in said, source.name
