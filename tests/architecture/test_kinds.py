"""Every kind of result has all its parts, and its passing example goes from the form to paper."""

import ast
import json
from dataclasses import dataclass, replace
from pathlib import Path

import pytest
from jinja2 import nodes
from sqlmodel import select

from server import places
from server.records.engine import reading, writing
from server.records.tables import Evidence
from server.trade import card as cards
from server.trade.card import KINDS, BadAnswer, Results, UnknownKind, derive, deriving, kind_of
from server.trade.card.bench import COLD, Chapter, Draft
from server.trade.card.kind import ResultKind, WholeKind, register
from server.trade.card.kinds import photo
from server.trade.card.spec import Spec
from server.web.bench.kind_view import VIEWS, KindView, register_view
from server.web.bench.kinds import view_of
from server.web.site import page
from server.web.site.forms import Form
from server.work.bench.progress import work_of
from server.work.port_map.facts import facts_of
from server.work.shop import Person, Shop
from tests import make
from tests.trade.card import fitted
from tests.web.bench.at_the_bench import said, step_page
from tests.web.client import Browser

CARD = derive(fitted.sheet())
# A step that takes each kind, as a card has it; no card asks for a photo yet.
STEPS = {step.evidence.kind: step for step in CARD.steps()}
PHOTO = replace(STEPS["tick"], key="try/photo", evidence=photo.Photo("The board from above"))
STEPS.setdefault("photo", PHOTO)
NAMES = sorted(KINDS)
SERVER = places.TEMPLATES.parent / "server"


@dataclass(frozen=True)
class Strange(Spec):
    """A spec that nobody registered a kind for."""

    kind = "strange"


def test_there_are_kinds_to_look_at():
    assert len(NAMES) > 10
    assert VIEWS.keys() == KINDS.keys() == STEPS.keys()


@pytest.mark.parametrize("name", NAMES)
def test_a_kind_reads_back_what_it_writes(name):
    kind, step = KINDS[name], STEPS[name]
    for answer in kind.example(step.evidence):
        stored = json.loads(json.dumps(kind.write(answer)))
        assert kind.read(step.evidence, stored) == answer


@pytest.mark.parametrize("name", NAMES)
def test_a_form_typed_as_the_example_gives_the_example(name):
    kind, view, step = KINDS[name], VIEWS[name], STEPS[name]
    for answer in kind.example(step.evidence):
        given = view.form(**{"silent": False} | view.typed(answer))
        posted = view.answer(step.evidence, given)
        if not view.layout.attaches or posted:  # the desk names a file that it keeps
            assert kind.read(step.evidence, posted) == answer


@pytest.mark.parametrize("name", NAMES)
def test_nothing_at_all_is_refused_at_a_field(name):
    if name in ("tick", "motor-link"):  # the button is the answer
        return
    view, step = VIEWS[name], STEPS[name]
    given = view.form(silent=False)
    with pytest.raises(BadAnswer) as refused:
        KINDS[name].read(step.evidence, view.answer(step.evidence, given))
    for field, says in refused.value.faults:
        assert says.endswith(".")
        named = view.field(field.split("."), given).partition("[")[0]
        assert named == "" or named in view.form.model_fields, field


@pytest.mark.parametrize("name", NAMES)
def test_a_kind_has_a_place_for_the_pen(name):
    assert cards.blanks(STEPS[name])


@pytest.mark.parametrize("name", NAMES)
def test_a_kinds_template_asks_and_draws(name):
    env = page.environment(places.TEMPLATES)
    tree = env.parse(env.loader.get_source(env, VIEWS[name].template)[0])
    assert {"ask", "found"} <= {macro.name for macro in tree.find_all(nodes.Macro)}


@pytest.mark.parametrize("name", NAMES)
def test_the_latest_entry_stands_and_puts_the_one_before_right(name):
    kind, spec = KINDS[name], STEPS[name].evidence
    answers = kind.example(spec)
    whole = kind.merge(spec, [*answers, answers[0]])
    assert kind.judge(spec, whole, _before(name)).passed
    assert kind.replaced([*answers], answers[0]) == (0 if kind.by_parts else len(answers) - 1)
    assert kind.merge(spec, []) is None
    assert kind.replaced([], answers[0]) is None


@pytest.mark.parametrize("name", NAMES)
def test_an_entry_that_can_no_longer_be_read_counts_for_nothing(name):
    step = STEPS[name]
    old = {"written": "under an older reading"}
    assert cards.merged(step, [old]) is None
    earlier = [old, *cards.example(step)]
    last = cards.take(step, earlier[-1], earlier, _before(name))
    assert last.judgement.passed


def _before(name: str) -> Results:
    """The example of every step that this kind's step reads."""
    read = (CARD.step(key) for key in STEPS[name].reads)
    return Results({step.key: cards.merged(step, cards.example(step)) for step in read})


# From the form to paper.


@pytest.fixture
def kit(shop: Shop) -> Person:
    return make.staff(shop, make.lead(shop), "Kit Thorne")


@pytest.fixture
def only(monkeypatch):
    """Cards of one stage, done cold: the step of a kind, after those that it reads."""

    def tried(name: str) -> str:
        step = STEPS[name]
        every = [*(CARD.step(key) for key in step.reads), step]
        drafts = [_draft(each) for each in every]
        chapter = Chapter("try", "Try", "Try", lambda _bench: iter(drafts))
        monkeypatch.setattr(deriving, "CHAPTERS", (chapter,))
        facts_of.cache_clear()
        return step.key

    yield tried
    facts_of.cache_clear()


def _draft(step: cards.Step) -> Draft:
    return Draft(
        key=step.key,
        title=step.title,
        do=step.do,
        target=step.target,
        why=step.why,
        states=COLD,
        evidence=step.evidence,
        hazard=step.hazard,
        reads=step.reads,
    )


def post(browser: Browser, number: int, step: cards.Step):
    """The example through the form that the page really has, an entry at a time."""
    view, kind = view_of(step), kind_of(step.evidence)
    for answer in kind.example(step.evidence):
        sent = step_page(browser, number, step.key)
        part = view.typed(answer).get("channel", "")
        if part and f"?part={part}" in sent.text:
            sent = step_page(browser, number, step.key, f"?part={part}")
        form = sent.form("/file" if view.layout.attaches else "/evidence")
        typed = Form.blank(view.form, **view.typed(answer)).typed
        fields = dict(form.fields) | {name: texts[-1] for name, texts in typed.items()}
        answered = browser.post(form.action, fields)
        assert answered.status == 200, said(answered)
    return answered


def standing(shop: Shop, number: int, key: str):
    with reading(shop.engine) as connection:
        work = work_of(connection, make.head(shop, number))
    return next(each for each in work.steps if each.step.key == key)


@pytest.mark.parametrize("name", NAMES)
def test_an_example_goes_from_the_form_to_the_page_and_to_paper(name, shop, kit, only):
    key = only(name)
    number = make.on_the_bench(shop, kit)
    browser = Browser(shop).sign_in("Kit Thorne")
    make.kept_file(shop, kit, number, photo.EXAMPLE, "photo.jpg")
    assert cards.blanks(standing(shop, number, key).step)
    with reading(shop.engine) as connection:
        steps = work_of(connection, make.head(shop, number)).steps
    for each in steps:
        post(browser, number, each.step)
    done = standing(shop, number, key)
    assert done.mark == "done"
    kind = kind_of(done.step.evidence)
    assert done.answer == kind.merge(done.step.evidence, [*kind.example(done.step.evidence)])
    shown = step_page(browser, number, key)
    assert shown.status == 200
    assert 'data-result="pass"' in shown.text
    assert "Recorded." in said(shown)
    paper = browser.get(f"/tickets/{number}/bench-card.pdf")
    assert (paper.status, paper.answer.content[:5]) == (200, b"%PDF-")


@pytest.mark.parametrize("name", NAMES)
def test_an_entry_of_an_older_reading_still_shows(name, shop, kit, only):
    key = only(name)
    number = make.on_the_bench(shop, kit)
    browser = Browser(shop).sign_in("Kit Thorne")
    make.kept_file(shop, kit, number, photo.EXAMPLE, "photo.jpg")
    with reading(shop.engine) as connection:
        steps = work_of(connection, make.head(shop, number)).steps
    for each in steps:
        post(browser, number, each.step)
    with writing(shop.engine) as session:
        for entry in session.exec(select(Evidence)):
            entry.answer, entry.found = '{"older": "reading"}', "seen in its own time"
    assert standing(shop, number, key).answer is None
    assert standing(shop, number, key).mark in ("done", "stale")
    shown = step_page(browser, number, key)
    assert shown.status == 200
    assert "seen in its own time" in said(shown)
    post(browser, number, steps[-1].step)  # and the step can be recorded anew
    assert browser.get(f"/tickets/{number}/bench-card.pdf").status == 200


# What an unknown or unfinished kind does.


def test_an_unknown_kind_is_an_error_and_no_other_kinds_form():
    strange = replace(STEPS["tick"], evidence=Strange())
    for meet in (cards.blanks, cards.example, view_of):
        with pytest.raises(UnknownKind, match="strange"):
            meet(strange)
    with pytest.raises(UnknownKind, match="strange"):
        cards.read(strange, {"done": True})


def test_a_kind_that_forgets_a_part_does_not_register():
    class Forgetful(WholeKind[Strange, str]):
        name = "strange"
        spec = Strange

    with pytest.raises(TypeError, match="abstract"):
        register(Forgetful)
    assert "strange" not in KINDS


def test_a_second_kind_of_a_name_is_refused():
    taken: type[ResultKind] = type(KINDS["tick"])
    with pytest.raises(TypeError, match="taken"):
        register(taken)


def test_a_view_that_forgets_a_part_does_not_register():
    class Faceless(KindView):
        name = "strange"

    with pytest.raises(TypeError, match="abstract"):
        register_view(Faceless)
    assert "strange" not in VIEWS


def choosers(source: str) -> list[int]:
    """Lines that compare a spec's kind, or match on anything's class."""
    tree = ast.parse(source)
    compared = [
        node.lineno
        for node in ast.walk(tree)
        if isinstance(node, ast.Compare)
        and isinstance(node.left, ast.Attribute)
        and node.left.attr == "kind"
        and isinstance(node.left.value, ast.Attribute)
        and node.left.value.attr == "evidence"
    ]
    matched = [
        n.pattern.lineno
        for n in ast.walk(tree)
        if isinstance(n, ast.match_case) and isinstance(n.pattern, ast.MatchClass)
    ]
    return sorted(compared + matched)


OUTSIDE = sorted(
    path
    for part in ("trade/card", "web/bench", "work/bench", "work/papers", "demo", "printing")
    for path in (SERVER / part).rglob("*.py")
)


@pytest.mark.parametrize("path", OUTSIDE, ids=lambda path: str(Path(path).relative_to(SERVER)))
def test_nobody_chooses_by_the_kind_of_a_step(path):
    assert choosers(path.read_text()) == []


def test_the_check_sees_a_choice():
    assert choosers("def f(step):\n    return step.evidence.kind in ('file', 'photo')\n") == [2]
    assert choosers("match spec:\n    case Tick():\n        pass\n") == [2]
