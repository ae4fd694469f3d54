"""A step's form: blank, as it was sent, and with what is wrong beside each field."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from starlette.datastructures import FormData

from server.trade.card import Step
from server.web.bench.hidden_fields import CARRIED, Carried, moment
from server.web.bench.kind_view import KindView, Posted
from server.web.bench.kinds import view_of
from server.web.site import forms
from server.web.site.forms import Form
from server.work.bench.step_status import StepStatus


@dataclass(frozen=True)
class Submission:
    """A form as it was sent, with its answer; no answer where it is no form of this step."""

    view: KindView[Any, Any, Any]
    form: Form[Any]
    given: Carried | None
    answer: Posted | None
    basis: str
    seen: int
    under: str
    made_at: datetime | None

    def with_faults(self, faults: Iterable[tuple[str, str]]) -> Form[Any]:
        """The form with what is wrong beside the fields, given by the names of the answer's."""
        form = self.form
        for field, says in faults:
            name = self.view.field(field.split("."), self.given) if self.given else ""
            known = name if name.partition("[")[0] in self.view.form.model_fields else ""
            if known not in form.errors:
                form = form.with_error(known, says)
        return form


def told(step: Step, sent: FormData) -> Submission:
    """What was posted for `step`."""
    view = view_of(step)
    form = forms.read(view.form, sent)
    given = form.filled
    seen = form.text("seen")
    return Submission(
        view,
        form,
        given,
        None if given is None else view.answer(step.evidence, given),
        form.text("basis"),
        int(seen) if seen.isdecimal() else 0,
        form.text("under"),
        moment(form.text("made_at")),
    )


def blank(standing: StepStatus) -> Form[Any]:
    """The form unsent, with what stands in it from before."""
    view, answer = view_of(standing.step), standing.answer
    stands = {} if answer is None or not view.layout.refills else view.typed(answer)
    return Form.blank(view.form, **stands)


def typed_words(step: Step, form: Form[Any]) -> tuple[str, ...]:
    """What was typed or tapped, to be shown where it cannot be given back in its field."""
    hidden = (*CARRIED, *view_of(step).layout.unseen)
    pairs = [(name, text) for name, texts in form.typed.items() for text in texts if text]
    return tuple(_named(name, text) for name, text in pairs if name not in hidden)


def _named(name: str, text: str) -> str:
    inner = name[name.index("[") + 1 : -1] if name.endswith("]") and "[" in name else ""
    return f"{inner} {text}".strip()
