"""A form is read once: filled, or given back with all that was typed and plain words."""

from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Annotated, Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import BaseModel, Field, field_validator, model_validator
from starlette.datastructures import FormData, Headers, UploadFile

from server.web.site import forms
from server.web.site.forms import Form, Number, read


class _Look(StrEnum):
    SOUND = "sound"
    SWOLLEN = "swollen"


class _HandedIn(BaseModel):
    batteries: Annotated[
        int,
        Field(
            ge=0,
            le=20,
            json_schema_extra={"missing": "Say how many batteries were handed in, 0 if none."},
        ),
    ]
    amps: Annotated[Number | None, Field(gt=0)] = None
    look: Annotated[_Look, Field(description="how the batteries look")] = _Look.SOUND
    condition: list[Literal["arm cracked", "lens scratched"]] = []
    agreed: bool
    note: Annotated[str, Field(max_length=10)] = ""
    due: date | None = None
    pads: dict[str, Annotated[str, Field(max_length=4)]] = {}

    @field_validator("note")
    @classmethod
    def _no_shouting(cls, note: str) -> str:
        if note.isupper():
            raise ValueError("Write it quietly.")
        return note

    @model_validator(mode="after")
    def _agree(self) -> "_HandedIn":
        if self.note == "free" and self.agreed:
            raise ValueError("It cannot be free and agreed.")
        return self


def _read(*pairs):
    return read(_HandedIn, FormData([("batteries", "2"), *pairs]))


def test_a_good_form_is_filled():
    form = _read(("agreed", "yes"), ("look", "swollen"), ("due", "2030-11-27"))
    assert form.errors == {}
    assert form.filled == _HandedIn(
        batteries=2, agreed=True, look=_Look.SWOLLEN, due=date(2030, 11, 27)
    )


def test_an_absent_box_means_no():
    assert _read().filled.agreed is False


@pytest.mark.parametrize("text", ["", "   ", None])
def test_empty_text_means_that_the_answer_is_missing(text):
    sent = FormData([] if text is None else [("batteries", text)])
    form = read(_HandedIn, sent)
    assert form.errors == {"batteries": "Say how many batteries were handed in, 0 if none."}
    assert form.filled is None


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("0,41", "0.41"),
        ("0.41", "0.41"),
        (" 12 ", "12"),
        ("1\N{NO-BREAK SPACE}118", "1118"),
        ("+1.5", "1.5"),
    ],
)
def test_a_number_is_read_with_comma_or_point(text, value):
    assert _read(("amps", text)).filled.amps == Decimal(value)


@pytest.mark.parametrize(
    "text", ["0,4,1", "1.234,5", "abc", "NaN", "Infinity", "1e9", "0x1", "9" * 40]
)
def test_a_text_that_is_no_number_is_told_so(text):
    form = _read(("amps", text))
    assert form.errors == {"amps": "Write a number, such as 0.41."}
    assert form.text("amps") == text


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("batteries", "two", "Write a whole number."),
        ("batteries", "1.5", "Write a whole number."),
        ("batteries", "-1", "Write 0 or more."),
        ("batteries", "21", "Write 20 or less."),
        ("amps", "0", "Write a number above 0."),
        ("look", "odd", "Pick one of the answers shown."),
        ("condition", "on fire", "Pick one of the answers shown."),
        ("note", "x" * 11, "Write at most 10 characters."),
        ("note", "LOUD", "Write it quietly."),
        ("due", "soon", "Write a date, such as 2030-11-27."),
        ("agreed", "perhaps", "Answer yes or no."),
    ],
)
def test_each_wrong_answer_is_told_in_plain_words(name, text, says):
    assert read(_HandedIn, FormData({"batteries": "2", name: text})).errors == {name: says}


def test_what_concerns_the_whole_form_has_no_field():
    form = _read(("note", "free"), ("agreed", "yes"))
    assert form.errors == {"": "It cannot be free and agreed."}


def test_a_field_that_nobody_asked_for_is_refused():
    form = _read(("role", "supervisor"))
    assert form.filled is None
    assert "role" in form.errors[""]


def test_token_and_key_are_carried_by_every_form():
    assert _read(("csrf", "x"), ("act_key", "y")).filled is not None


def test_several_values_of_one_name_are_all_kept():
    form = _read(("condition", "arm cracked"), ("condition", "lens scratched"))
    assert form.filled.condition == ["arm cracked", "lens scratched"]
    assert form.has("condition", "arm cracked")


def test_a_keyed_field_takes_one_answer_a_key():
    form = _read(("pads[receiver TX]", "R1"), ("pads[receiver RX]", ""), ("pads[x]", "too long"))
    assert form.errors == {"pads[x]": "Write at most 4 characters."}
    assert form.text("pads[receiver TX]") == "R1"
    assert _read(("pads[a/b]", "T1")).filled.pads == {"a/b": "T1"}


@pytest.mark.parametrize("name", ["note[x]", "pads", "pads[]", "pads[a][b]"])
def test_a_key_where_none_belongs_is_refused(name):
    assert _read((name, "x")).filled is None


def test_a_refused_form_keeps_all_that_was_typed():
    form = _read(("amps", "much"), ("note", " as is "), ("condition", "arm cracked"))
    assert form.text("batteries") == "2"
    assert form.text("note") == " as is "
    assert form.has("condition", "arm cracked")
    assert not form.has("condition", "lens scratched")


class _Photo(BaseModel, arbitrary_types_allowed=True):
    photo: Annotated[UploadFile, Field(description="which photo")]


def test_a_chosen_file_is_passed_on_and_an_empty_choice_is_missing(tmp_path):
    path = tmp_path / "arm.jpg"
    path.write_bytes(b"x")
    with path.open("rb") as opened:
        sent = UploadFile(opened, filename="arm.jpg", headers=Headers())
        assert read(_Photo, FormData([("photo", sent)])).filled.photo is sent
        none = UploadFile(opened, filename="", headers=Headers())
        assert read(_Photo, FormData([("photo", none)])).errors == {"photo": "Say which photo."}


def test_a_blank_form_shows_what_is_known():
    form = Form.blank(_HandedIn, batteries=0, agreed=True, amps=Decimal("0.50"), pads={"a": "R1"})
    assert form.text("batteries") == "0"
    assert form.has("agreed")
    assert form.text("amps") == "0.50"
    assert form.text("pads[a]") == "R1"
    assert form.text("note", "nothing") == "nothing"
    with pytest.raises(TypeError, match="volts"):
        Form.blank(_HandedIn, volts=1)


def test_an_acts_refusal_goes_beside_its_field():
    form = _read().with_error("note", "That note is taken.")
    assert (form.filled, form.error("note")) == (None, "That note is taken.")
    assert form.text("batteries") == "2"
    assert form.headline == "One answer is missing or wrong"


@given(st.dictionaries(st.text(max_size=12), st.text(max_size=40), max_size=6))
def test_whatever_is_posted_is_read_or_told(sent):
    form = read(_HandedIn, FormData(sent))
    assert (form.filled is None) == bool(form.errors)
    assert all(form.text(name) == text for name, text in sent.items() if name not in forms.CARRIED)


@given(st.decimals(allow_nan=False, allow_infinity=False, places=3, min_value=0, max_value=10**9))
def test_a_number_survives_being_shown_and_sent_again(value):
    shown = Form.blank(_HandedIn, amps=value + 1).text("amps")
    assert _read(("amps", shown)).filled.amps == value + 1


def test_no_two_keys_are_alike():
    assert len({forms.new_key() for _ in range(1000)}) == 1000
