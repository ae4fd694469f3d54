"""QR codes, read back by zxing-cpp: from the SVG's page, at the size they are printed."""

import re
from dataclasses import replace

import pytest

from server.printing.codes import qr_svg
from tests.printing import samples
from tests.printing.reading import codes_on

CODED = [name for name, sheet in samples.USUAL.items() if sheet.code()]


@pytest.mark.parametrize("name", CODED)
def test_printed_code_reads_as_its_address(name):
    sheet = samples.USUAL[name]
    assert codes_on(sheet.pages(150)[0]) == [sheet.code()]


@pytest.mark.parametrize("name", CODED)
def test_code_beside_overlong_texts_still_reads(name):
    sheet = samples.HARD[name]
    assert codes_on(sheet.pages(200)[0]) == [sheet.code()]


def test_labels_code_reads_at_label_printer_pitch():
    tag = replace(samples.TAG, size="57x32mm", ticket_url="https://" + "q" * 70 + ".example/t/0412")
    assert codes_on(tag.pages(203)[0]) == [tag.ticket_url]


def test_code_has_quiet_zone_of_four():
    """ISO/IEC 18004: four modules on each side; a version 1 symbol is 21 modules wide."""
    size = re.search(r'viewBox="0 0 (\d+) (\d+)"', qr_svg("HELLO"))
    assert size is not None
    assert size.groups() == (str(21 + 8), str(21 + 8))
