"""pydantic's complaints about a form, in plain words.

A field says what it asks for in its `description` ('how many batteries were handed in'), and may
give the whole sentence for an empty answer in `json_schema_extra={"missing": "..."}`, and for an
unreadable one in `{"wrong": "..."}`.
"""

from collections.abc import Callable
from typing import Any

from pydantic.fields import FieldInfo

# By pydantic's own error types; what is not here falls back to the last line of `_plain`.
_WORDS: dict[str, Callable[[dict[str, Any]], str]] = {
    "int_parsing": lambda _: "Write a whole number.",
    "int_from_float": lambda _: "Write a whole number.",
    "decimal_parsing": lambda _: "Write a number, such as 0.41.",
    "bool_parsing": lambda _: "Answer yes or no.",
    "date_parsing": lambda _: "Write a date, such as 2030-11-27.",
    "date_from_datetime_parsing": lambda _: "Write a date, such as 2030-11-27.",
    "datetime_parsing": lambda _: "Write a date and a time, such as 2030-11-27 17:00.",
    "datetime_from_date_parsing": lambda _: "Write a date and a time, such as 2030-11-27 17:00.",
    "time_parsing": lambda _: "Write a time, such as 17:00.",
    "enum": lambda _: "Pick one of the answers shown.",
    "literal_error": lambda _: "Pick one of the answers shown.",
    "string_too_long": lambda c: f"Write at most {c['max_length']} characters.",
    "string_too_short": lambda c: f"Write at least {c['min_length']} characters.",
    "too_short": lambda c: f"Pick at least {c['min_length']}.",
    "too_long": lambda c: f"Pick at most {c['max_length']}.",
    "greater_than": lambda c: f"Write a number above {c['gt']}.",
    "greater_than_equal": lambda c: f"Write {c['ge']} or more.",
    "less_than": lambda c: f"Write a number below {c['lt']}.",
    "less_than_equal": lambda c: f"Write {c['le']} or less.",
    "decimal_max_places": lambda c: f"Write at most {c['decimal_places']} places after the point.",
    "value_error": lambda c: str(c["error"]),
}


def plain_words(kind: str, context: dict[str, Any], field: FieldInfo | None) -> str:
    """One sentence that says what to do about an error of pydantic's type `kind`."""
    own = _own(field)
    if kind == "missing":
        return own.get("missing") or f"Say {_asked(field)}."
    if kind != "value_error" and "wrong" in own:
        return own["wrong"]
    return _WORDS[kind](context) if kind in _WORDS else "This answer cannot be read."


def _own(field: FieldInfo | None) -> dict[str, str]:
    extra = field.json_schema_extra if field else None
    return {k: v for k, v in extra.items() if isinstance(v, str)} if isinstance(extra, dict) else {}


def _asked(field: FieldInfo | None) -> str:
    return (field.description if field else None) or "something here"
