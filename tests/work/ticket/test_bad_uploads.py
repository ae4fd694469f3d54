"""Bad photos are refused by name with the reason; good ones lose all that is not picture."""

from io import BytesIO

import pytest
from PIL import Image

from server.work.errors import Unfit
from server.work.ticket import pictures
from tests.uploads import BAD, KIND, chunk, photo, png


def test_there_are_thirty_kinds_of_them():
    assert len({what for what, *_ in BAD}) >= 30
    assert len({data for *_, data, _ in BAD}) >= 30


@pytest.mark.parametrize(("what", "name", "data", "says"), BAD, ids=[what for what, *_ in BAD])
def test_a_bad_upload_is_refused_by_name(what, name, data, says):
    with pytest.raises(Unfit) as refused:
        pictures.remade(data, name)
    shown = "".join(c for c in name if c.isprintable())
    assert refused.value.field == "photos"
    assert refused.value.says.startswith(f"“{shown}” ")
    assert says in refused.value.says
    if says.startswith(("a ", "an ", "PostScript", "no picture")):
        assert KIND in refused.value.says


# What stands behind, beside or inside a picture, where programs look for a second file.
TAIL = b"PK\x03\x04<script>alert(1)</script>%PDF-1.7"
HOSTILE = {
    "behind a JPEG": photo() + TAIL,
    "behind a PNG": photo("PNG") + TAIL,
    "behind a WebP": photo("WEBP") + TAIL,
    "in a JPEG's comment": photo(comment=TAIL),
    "in a PNG's text": png(64, 64, chunk(b"tEXt", b"Comment\0" + TAIL)),
    "in a colour profile": photo(icc_profile=TAIL * 40),
}


@pytest.mark.parametrize("data", HOSTILE.values(), ids=HOSTILE.keys())
def test_what_is_not_picture_stays_behind(data):
    made = pictures.remade(data, "craft.jpg")
    for kept in (made.data, made.small):
        for sign in (b"PK\x03\x04", b"<script", b"%PDF"):
            assert sign not in kept
        with Image.open(BytesIO(kept)) as seen:
            assert seen.format == "JPEG"
            assert set(seen.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


def exif_of(orientation: int) -> bytes:
    exif = Image.Exif()
    exif[0x0112] = orientation  # Orientation, CIPA DC-008 (Exif)
    exif[0x010F] = "Maker of the camera"
    exif.get_ifd(0x8825).update({1: "N", 2: (59.0, 54.0, 0.0)})  # where it was taken
    return exif.tobytes()


@pytest.mark.parametrize(
    # CIPA DC-008, Orientation: 6 is 'turn a quarter clockwise to see it', 3 half a turn, 8 the
    # other quarter. The red corner is at the top left of the upright picture.
    ("orientation", "stored_red"),
    [(1, (0, 0)), (3, (1, 1)), (6, (0, 1)), (8, (1, 0))],
)
def test_a_photo_is_turned_upright(orientation, stored_red):
    size = (64, 48) if orientation in (6, 8) else (48, 64)
    stored = Image.new("RGB", size, "blue")
    column, row = stored_red
    half = (size[0] // 2, size[1] // 2)
    stored.paste(
        "red", (column * half[0], row * half[1], (column + 1) * half[0], (row + 1) * half[1])
    )
    made = BytesIO()
    stored.save(made, "PNG", exif=exif_of(orientation))
    kept = pictures.remade(made.getvalue(), "a.png").data
    with Image.open(BytesIO(kept)) as seen:
        assert seen.size == (48, 64)
        red, _, blue = seen.convert("RGB").getpixel((6, 6))
        assert red > 200 > 60 > blue
        assert not seen.getexif()
    assert b"Maker" not in kept


@pytest.mark.parametrize(
    ("form", "mode"),
    [
        ("JPEG", "RGB"),
        ("JPEG", "L"),
        ("JPEG", "CMYK"),
        ("MPO", "RGB"),
        ("PNG", "RGB"),
        ("PNG", "RGBA"),
        ("PNG", "P"),
        ("PNG", "I;16"),
        ("WEBP", "RGB"),
        ("WEBP", "RGBA"),
    ],
)
def test_every_kind_of_picture_taken_is_kept(form, mode):
    made = BytesIO()
    Image.new(mode, (800, 600)).save(made, form)
    kept = pictures.remade(made.getvalue(), "a")
    with Image.open(BytesIO(kept.small)) as seen:
        assert seen.size == (320, 240)


def test_the_plainest_photo_holds_what_it_says():
    made = BytesIO()
    Image.new("L", (4000, 4000), 128).save(made, "JPEG", quality=1, optimize=True)
    assert pictures.remade(made.getvalue(), "a.jpg").data


def test_a_large_photo_is_kept_smaller():
    kept = pictures.remade(photo(size=(4000, 3000)), "a.jpg").data
    with Image.open(BytesIO(kept)) as seen:
        assert seen.size == (2400, 1800)
