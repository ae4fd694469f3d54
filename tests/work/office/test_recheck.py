"""The whole archive under newer rules: only what is new, once, and on from where it stopped."""

import pytest
from sqlalchemy import delete, update
from sqlalchemy.exc import IntegrityError

from server.records import rechecks
from server.records.columns import core
from server.records.engine import reading, writing
from server.records.tables import Build, BuildFinding, RecheckFinding
from server.trade.recheck import UNREADABLE
from server.trade.rules import RULES, Hit, Rule
from server.work.errors import NotAllowed
from server.work.office import recheck
from tests import make

OWNERS = ("Perrin Vale", "Odile Marsh", "Tamsin Rook", "Jory Fenn", "Wren Pike")


@pytest.fixture
def lead(shop):
    return make.lead(shop)


@pytest.fixture
def numbers(shop, lead):
    """Five tickets with a signed map each, the second with a stop that was known then."""
    found = [
        make.on_the_bench(shop, lead, make.swapped if nth == 1 else None, customer_name=name)
        for nth, name in enumerate(OWNERS)
    ]
    sign_all(shop)
    return found


@pytest.fixture
def new_rule(monkeypatch):
    """One more rule: it finds fault with every battery."""

    def every_battery(wiring):
        yield Hit("battery", f"{wiring.sheet.battery.cells} cells.", "Look at it.")

    monkeypatch.setitem(
        RULES, "test-battery", Rule("test-battery", ("stop",), "a test", every_battery)
    )


def sign_all(shop):
    """Mark every build signed, as a signature would."""
    with writing(shop.engine) as session:
        session.connection().execute(update(core(Build)).values(signed_at=shop.now()))


def forget_findings(shop):
    """As if every map had been saved under rules that found nothing."""
    with writing(shop.engine) as session:
        session.connection().execute(delete(core(BuildFinding)))


def run(shop, by, **how):
    """A whole run, and what it newly found."""
    run_id = recheck.start_or_resume(shop, by)
    steps = list(recheck.go_on(shop, run_id, **how))
    return steps[-1], new(shop, run_id)


def new(shop, run_id):
    with reading(shop.engine) as connection:
        return rechecks.new(connection, run_id)


def test_unchanged_rules_find_nothing_new(shop, lead, numbers):
    end, found = run(shop, lead)
    assert (end.looked, end.total, found) == (5, 5, [])
    assert end.finished_at is not None


def test_a_new_rule_finds_each_build(shop, lead, numbers, new_rule):
    _, found = run(shop, lead)
    assert sorted((row.ticket, row.customer) for row in found) == list(
        zip(numbers, OWNERS, strict=True)
    )
    cells = make.sheet().battery.cells
    assert {row[4:] for row in found} == {("test-battery", "stop", "battery", f"{cells} cells.")}


def test_a_finding_that_was_forgotten_is_new(shop, lead, numbers):
    forget_findings(shop)
    _, found = run(shop, lead)
    assert {row.ticket for row in found if row.severity == "stop"} == {numbers[1]}


def test_a_map_that_is_not_signed_is_left_out(shop, lead, numbers, new_rule):
    late = make.on_the_bench(shop, lead, customer_name="Corin Tarn")
    end, found = run(shop, lead)
    assert end.looked == 5
    assert late not in {row.ticket for row in found}


def test_a_stopped_run_ends_as_a_whole_one(shop, lead, numbers, new_rule, monkeypatch):
    whole, wanted = run(shop, lead)
    stopped = recheck.start_or_resume(shop, lead)
    going = recheck.go_on(shop, stopped, chunk=2)
    next(going)
    add = rechecks.add

    def killed(*given):
        add(*given)
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(rechecks, "add", killed)
        with pytest.raises(KeyboardInterrupt):
            next(going)  # in the middle of its transaction
    with reading(shop.engine) as connection:
        assert rechecks.run(connection, stopped).looked == 2
    assert len(new(shop, stopped)) == 2
    assert recheck.start_or_resume(shop, lead) == stopped
    end, found = run(shop, lead, chunk=2)
    assert (end.id, end.looked, found) == (stopped, whole.looked, wanted)


def test_two_on_one_chunk_keep_it_once(shop, lead, numbers, new_rule, monkeypatch):
    run_id = recheck.start_or_resume(shop, lead)
    found, ahead = recheck.found, []

    def overtaken(sheet):
        if not ahead:  # while we look at our first chunk, somebody else keeps the same one
            ahead.append(run_id)
            ahead.append(next(recheck.go_on(shop, run_id, chunk=2)).looked)
        return found(sheet)

    monkeypatch.setattr(recheck, "found", overtaken)
    steps = [step.looked for step in recheck.go_on(shop, run_id, chunk=2)]
    assert ahead == [run_id, 2]
    assert steps == [2, 4, 5]
    assert len(new(shop, run_id)) == 5


def test_a_run_once_more_finds_the_same(shop, lead, numbers, new_rule):
    first, found = run(shop, lead)
    again, same = run(shop, lead)
    assert again.id != first.id
    assert found == same
    assert list(recheck.go_on(shop, first.id)) == []
    assert new(shop, first.id) == found


def test_a_bound_run_stops_and_goes_on(shop, lead, numbers, new_rule):
    run_id = recheck.start_or_resume(shop, lead)
    looked = [step.looked for step in recheck.go_on(shop, run_id, most=3, chunk=2)]
    assert looked == [2, 3]
    end, found = run(shop, lead, most=3)
    assert (end.id, end.looked, len(found)) == (run_id, 5, 5)


def test_other_rules_begin_a_run_anew(shop, lead, numbers, monkeypatch):
    first = recheck.start_or_resume(shop, lead)
    monkeypatch.setattr(recheck, "rules_version", lambda: "later")
    assert recheck.start_or_resume(shop, lead) != first


def test_a_sheet_that_cannot_be_read_is_a_stop(shop, lead, numbers):
    with writing(shop.engine) as session:
        session.connection().execute(
            update(core(Build)).where(core(Build).c.id == 1).values(sheet='{"craft": 4}')
        )
    end, found = run(shop, lead)
    assert end.looked == 5
    assert [(row.code, row.severity, row.ticket) for row in found] == [
        (UNREADABLE, "stop", numbers[0])
    ]


def test_an_empty_archive_is_finished_at_once(shop, lead):
    end, found = run(shop, lead)
    assert (end.looked, end.total, found) == (0, 0, [])
    assert end.finished_at is not None


def test_other_processes_find_the_same(shop, lead, numbers, monkeypatch):
    forget_findings(shop)
    _, here = run(shop, lead)
    monkeypatch.setattr(recheck, "FEW", 0)
    _, there = run(shop, lead, workers=2)
    assert here == there
    assert len(there) >= 1


@pytest.mark.parametrize("role", ["counter", "technician"])
def test_only_the_lead_starts_a_run(shop, lead, role):
    other = make.staff(shop, lead, "Kit Thorne", role)
    with pytest.raises(NotAllowed):
        recheck.start_or_resume(shop, other)


def test_the_same_row_cannot_be_kept_twice(shop, lead, numbers, new_rule):
    run(shop, lead)
    with reading(shop.engine) as connection:
        row = dict(connection.execute(core(RecheckFinding).select()).mappings().first())
    with pytest.raises(IntegrityError, match=r"(?i)unique"), writing(shop.engine) as session:
        session.connection().execute(core(RecheckFinding).insert().values(row | {"id": 4711}))
