"""Forms: read what was posted into a model, or give it back with everything that was typed.

Empty text means that the answer is missing, an absent box means no. A field that the model does not
have is refused. A field `dict[str, ...]` takes what was posted as `name[key]`; a field that holds
many takes every value posted under its name.
"""

import re
import secrets
from collections.abc import AsyncIterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import Enum
from typing import Annotated, Any, Generic, TypeVar, get_args, get_origin

from fastapi import Depends, Request
from pydantic import BaseModel, BeforeValidator, ValidationError
from pydantic.fields import FieldInfo
from starlette.datastructures import FormData, UploadFile

from server.web.site.field_errors import plain_words
from server.web.site.readable import MOST_NUMBER, require_texts

M = TypeVar("M", bound=BaseModel)
N = TypeVar("N", bound=BaseModel)

# Sent with every form, and no business of any model.
CARRIED = frozenset({"csrf", "act_key"})
MOST_FIELDS = 600  # a large map has some 60 leads; the reader refuses more than this
TOO_LARGE = f"Write a number up to {MOST_NUMBER}."
_UNASKED = "This form sent “{}”, which is not asked for. Load the page again."
_INDEXED = re.compile(r"(?P<name>[a-z_][a-z0-9_]*)\[(?P<key>[^\[\]]{1,120})\]")
_NUMBER = re.compile(r"[+-]?\d{1,12}([.,]\d{1,12})?")


async def posted(request: Request) -> AsyncIterator[FormData]:
    """The posted form; part of a route's signature as `Posted`. Its files are closed afterwards.

    It stays with the request, so that a page about a fault can give back what was typed.
    """
    async with request.form(max_fields=MOST_FIELDS, max_files=20) as form:
        require_texts(form)
        request.state.posted = form
        yield form


Posted = Annotated[FormData, Depends(posted)]


def new_key() -> str:
    """A key for one act: the same key posted twice is the same act."""
    return secrets.token_urlsafe(18)


def number(text: object) -> object:
    """Decimal text as people write it: comma or point, spaces around. Raises ValueError."""
    if not isinstance(text, str):
        return text
    tidy = text.replace("\N{NO-BREAK SPACE}", "").replace("−", "-").strip()
    if not _NUMBER.fullmatch(tidy):
        raise ValueError("Write a number, such as 0.41.")
    return tidy.replace(",", ".")


Number = Annotated[Decimal, BeforeValidator(number)]


@dataclass(frozen=True)
class Form(Generic[M]):
    """One form as it was typed, what is wrong with it, and the model when nothing is.

    `typed` keeps every text by the posted name, several under one name too. `errors` is by the same
    names; the name '' stands for the form as a whole.
    """

    typed: Mapping[str, tuple[str, ...]]
    errors: Mapping[str, str]
    filled: M | None

    @classmethod
    def blank(cls, model: type[N], **initial: Any) -> "Form[N]":
        """An unsent form; `initial` are the answers that stand in it already."""
        unknown = initial.keys() - model.model_fields.keys()
        if unknown:
            raise TypeError(f"{model.__name__} has no field {', '.join(sorted(unknown))}.")
        typed: dict[str, tuple[str, ...]] = {}
        for name, value in initial.items():
            typed |= _shown(name, value)
        return Form[N](typed, {}, None)

    def text(self, name: str, otherwise: str = "") -> str:
        """What stands in the field, or `otherwise`."""
        values = self.typed.get(name, ())
        return values[-1] if values else otherwise

    def has(self, name: str, value: object = "yes") -> bool:
        """Whether the choice `value` is taken."""
        return _text(value) in self.typed.get(name, ())

    def error(self, name: str) -> str:
        """What is wrong with the field, or nothing."""
        return self.errors.get(name, "")

    def with_error(self, name: str, says: str) -> "Form[M]":
        """The same form refused by an act, with the reason beside the field ('' is the form)."""
        return replace(self, errors={**self.errors, name: says}, filled=None)

    @property
    def headline(self) -> str:
        """The error summary's heading."""
        count = len(self.errors)
        return "One answer is missing or wrong" if count == 1 else f"{count} answers to look at"


def read(model: type[M], posted: FormData) -> Form[M]:
    """`posted` as a filled `model`, or with plain words for each field that is wrong."""
    texts = _texts(posted)
    fields = {field.alias or name: field for name, field in model.model_fields.items()}
    given, strange = _sorted(posted, fields)
    errors = {"": _UNASKED.format(strange[0])} if strange else {}
    try:
        filled = model.model_validate(given)
    except ValidationError as wrong:
        return Form(texts, errors | _plain(wrong, fields), None)
    errors |= {name: TOO_LARGE for name in given if _too_large(getattr(filled, name, None))}
    return Form(texts, errors, None if errors else filled)


def _too_large(value: Any) -> bool:
    """Whether a whole number in it is one that no database of ours holds."""
    if isinstance(value, Mapping):
        return any(map(_too_large, value.values()))
    if isinstance(value, list | tuple | set | frozenset):
        return any(map(_too_large, value))
    return isinstance(value, int) and abs(value) > MOST_NUMBER


def _texts(posted: FormData) -> dict[str, tuple[str, ...]]:
    texts: dict[str, tuple[str, ...]] = {}
    for name, value in posted.multi_items():
        if name not in CARRIED:
            text = value if isinstance(value, str) else value.filename or ""
            texts[name] = (*texts.get(name, ()), text)
    return texts


def _sorted(posted: FormData, fields: Mapping[str, FieldInfo]) -> tuple[dict[str, Any], list[str]]:
    """The answers by field, and the names that no field has."""
    given: dict[str, Any] = {n: False for n, f in fields.items() if f.annotation is bool}
    strange: list[str] = []
    for name, value in posted.multi_items():
        if name in CARRIED:
            continue
        indexed = _INDEXED.fullmatch(name)
        known = fields.get(indexed["name"] if indexed else name)
        if known is None or bool(indexed) != _keyed(known):
            strange.append(name)
        elif not _empty(value):
            _put(given, known, name, indexed, value.strip() if isinstance(value, str) else value)
    return given, strange


def _put(
    given: dict[str, Any],
    field: FieldInfo,
    name: str,
    indexed: re.Match[str] | None,
    value: str | UploadFile,
) -> None:
    if indexed:
        given.setdefault(indexed["name"], {})[indexed["key"]] = value
    elif _holds_many(field):
        given.setdefault(name, []).append(value)
    else:
        given[name] = value


def _empty(value: str | UploadFile) -> bool:
    return not value.strip() if isinstance(value, str) else not value.filename


def _kinds(field: FieldInfo) -> list[Any]:
    """The annotation's outer types, with those of `X | None` and `Annotated` looked into."""
    found, left = [], [field.annotation]
    while left:
        kind = left.pop()
        origin = get_origin(kind)
        found.append(origin or kind)
        if origin is not None and origin not in (list, tuple, set, frozenset, dict):
            left.extend(get_args(kind))
    return found


def _holds_many(field: FieldInfo) -> bool:
    return any(kind in (list, tuple, set, frozenset) for kind in _kinds(field))


def _keyed(field: FieldInfo) -> bool:
    return dict in _kinds(field)


def _plain(wrong: ValidationError, fields: Mapping[str, FieldInfo]) -> dict[str, str]:
    errors: dict[str, str] = {}
    for error in wrong.errors(include_url=False, include_input=False):
        first, *rest = error["loc"] or ("",)
        field = fields.get(str(first))
        keyed = field is not None and _keyed(field) and rest
        name = f"{first}[{rest[0]}]" if keyed else str(first)
        errors.setdefault(name, plain_words(error["type"], error.get("ctx", {}), field))
    return errors


def _shown(name: str, value: Any) -> dict[str, tuple[str, ...]]:
    if value is None or value is False:
        return {}
    if isinstance(value, Mapping):
        return {f"{name}[{key}]": (_text(part),) for key, part in value.items() if part is not None}
    if isinstance(value, list | tuple | set | frozenset):
        return {name: tuple(_text(part) for part in value)}
    return {name: (_text(value),)}


def _text(value: object) -> str:
    if value is True:
        return "yes"
    if isinstance(value, Decimal):
        return format(value, "f")
    return str(value.value) if isinstance(value, Enum) else str(value)
