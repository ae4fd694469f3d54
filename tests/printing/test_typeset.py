"""The compiler that is kept: same bytes, threads, standards, and what it refuses."""

import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import timedelta

import pytest

from server.printing.sheets.base import Drawing
from server.printing.typeset import PrintError
from tests.printing import samples
from tests.printing.reading import reader

OTHER_PROCESS = (
    "import hashlib; from tests.printing import samples;"
    "print(hashlib.sha256(samples.PICKUP.pdf()).hexdigest())"
)


def test_same_sheet_gives_same_bytes():
    first = samples.PICKUP.pdf()
    samples.HARD["claim"].pdf()
    assert samples.PICKUP.pdf() == first


def test_another_process_gives_same_bytes():
    digests = {
        subprocess.run(
            [sys.executable, "-c", OTHER_PROCESS],
            env={**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "PYTHONPATH": os.getcwd()},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed, zone in (("1", "UTC"), ("2", "Asia/Tokyo"))
    }
    assert len(digests) == 1
    assert len(digests.pop().strip()) == 64


def test_record_time_is_creation_time():
    made = samples.MADE.astimezone(tz=samples.MADE.tzinfo) + timedelta(days=1)
    assert reader(replace(samples.TAG, made=made).pdf()).metadata["/CreationDate"] == (
        "D:20261128153100Z"
    )


def test_threads_print_without_mixing_sheets():
    sheets = [samples.TAG, samples.CLAIM, samples.ESTIMATE, samples.MAP] * 4
    alone = [sheet.pdf() for sheet in sheets]
    with ThreadPoolExecutor(8) as pool:
        assert list(pool.map(lambda sheet: sheet.pdf(), sheets)) == alone


@pytest.mark.parametrize("name", samples.USUAL)
def test_sheets_claim_archive_and_access_standards(name):
    """ISO 19005-2 and ISO 14289-1: the identification in XMP, tags, language, shown title."""
    sheet = samples.USUAL[name]
    pdf = reader(samples.usual_pdf(name))
    root = pdf.root_object
    xmp = root["/Metadata"].get_data().decode()
    assert "<pdfaid:part>2</pdfaid:part><pdfaid:conformance>A</pdfaid:conformance>" in xmp
    assert "<pdfuaid:part>1</pdfuaid:part>" in xmp
    assert root["/MarkInfo"]["/Marked"] is True or root["/MarkInfo"]["/Marked"].value
    assert root["/Lang"] == "en"
    assert root["/StructTreeRoot"]["/K"]
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert pdf.metadata.title == sheet.title()


@pytest.mark.parametrize("name", samples.USUAL)
def test_only_package_faces_are_embedded(name):
    for page in reader(samples.hard_pdf(name)).pages:
        for font in page["/Resources"]["/Font"].values():
            inner = font.get_object()["/DescendantFonts"][0].get_object()
            held = inner["/FontDescriptor"].get_object()
            assert "/FontFile2" in held or "/FontFile3" in held
            family = inner["/BaseFont"].split("+")[1]
            assert family.startswith(("FiraSans", "LibertinusSerif", "DejaVuSansMono"))


def test_broken_drawing_is_refused_with_reason():
    broken = replace(samples.PICKUP, motors=Drawing("<svg", "motors"))
    with pytest.raises(PrintError, match="SVG"):
        broken.pdf()


def test_no_sheet_makes_typst_warn(caplog):
    for sheet in (*samples.USUAL.values(), *samples.HARD.values()):
        sheet.pdf()
    assert caplog.messages == []
