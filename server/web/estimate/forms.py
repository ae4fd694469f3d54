"""The lines of an estimate as they are typed: what, how many, the price of one, and if a part."""

from collections.abc import Iterable, Mapping
from typing import Annotated, Any, Literal

from pydantic import BaseModel, Field

from server.trade.bill import KINDS
from server.web.site.forms import Form, Number
from server.work.money import from_minor, places, to_minor

LEAST_ROWS, MOST_ROWS = 3, 60
LABOUR, PARTS = KINDS
ROWS = {str(n) for n in range(MOST_ROWS)}

Price = Annotated[Number, Field(ge=0, le=1_000_000, decimal_places=3)]
Quantity = Annotated[int, Field(ge=1, le=9999, description="how many")]


class LinesForm(BaseModel):
    """Rows of a form, by the row's number; empty ones are left out."""

    says: dict[str, Annotated[str, Field(max_length=120)]] = {}
    quantity: dict[str, Quantity] = {}
    unit: dict[str, Price] = {}
    part: dict[str, Literal["yes"]] = {}
    rows: Annotated[int, Field(ge=LEAST_ROWS, le=MOST_ROWS)] = LEAST_ROWS
    more: str = ""

    def wrong_lines(self, currency: str) -> dict[str, str]:
        """Every line has words and a price that the currency can be paid in."""
        errors = {}
        for row in (self.says.keys() | self.quantity.keys() | self.unit.keys()) & ROWS:
            if row not in self.says:
                errors[f"says[{row}]"] = "Say what this line is for."
            elif row not in self.unit:
                errors[f"unit[{row}]"] = "Write a price, 0 if it is free."
            elif -int(self.unit[row].as_tuple().exponent) > places(currency):
                many = f"at most {places(currency)} places after the point"
                errors[f"unit[{row}]"] = f"Write {many} in {currency}."
        return errors

    def lines(self, currency: str) -> list[dict[str, Any]]:
        """The filled lines in their order, prices in minor units."""
        return [
            {
                "says": self.says[row],
                "quantity": self.quantity.get(row, 1),
                "unit_minor": to_minor(self.unit[row], currency),
                "kind": PARTS if row in self.part else LABOUR,
            }
            for row in sorted(self.says.keys() & ROWS, key=int)
        ]


def typed_lines(lines: Iterable[Mapping[str, Any]], currency: str) -> dict[str, Any]:
    """What stands in the form's rows for these lines."""
    rows = list(enumerate(lines))
    return {
        "says": {str(n): line["says"] for n, line in rows},
        "quantity": {str(n): line["quantity"] for n, line in rows},
        "unit": {str(n): from_minor(line["unit_minor"], currency) for n, line in rows},
        "part": {str(n): "yes" for n, line in rows if line["kind"] == PARTS},
        "rows": max(LEAST_ROWS, min(len(rows), MOST_ROWS)),
    }


def with_more_rows(form: Form[Any]) -> Form[Any]:
    """The lines as they were typed, with three more to write on."""
    rows = form.text("rows", str(LEAST_ROWS))
    more = int(rows) + LEAST_ROWS if rows in ROWS else LEAST_ROWS
    return Form({**form.typed, "rows": (str(min(more, MOST_ROWS)),)}, {}, None)
