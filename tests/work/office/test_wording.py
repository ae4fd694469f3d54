"""The shop's own words for settings, on its cards; on both databases."""

import pytest

from server.records.engine import reading
from server.work.bench.progress import work_of
from server.work.errors import Missing, NotAllowed, Unfit
from server.work.office import wording
from server.work.shop import Person, Shop
from tests import make

FAMILY = "Plover firmware"
WORDS = {"port-overlay": "screen text, page 3", "motor-link": "ESC wire"}


@pytest.fixture
def lead(shop: Shop) -> Person:
    return make.lead(shop)


def lines(shop: Shop, number: int) -> str:
    head = make.head(shop, number)
    with reading(shop.engine) as connection:
        work = work_of(connection, head)
    return "\n".join(line for s in work.steps for line in s.step.do)


def test_a_card_says_both_words(shop, lead):
    number = make.on_the_bench(shop, lead)
    wording.put_words(shop, lead, family=FAMILY, words=WORDS)
    assert "you call it" not in lines(shop, number)
    wording.choose_family(shop, lead, number, family=FAMILY)
    said = lines(shop, number)
    assert "(you call it: screen text, page 3)" in said
    assert "(you call it: ESC wire)" in said


def test_other_words_leave_the_ticks(shop, lead):
    number = make.on_the_bench(shop, lead)
    make.work_through(shop, lead, number, until="radio/ends")
    done = make.head(shop, number).steps_done
    wording.put_words(shop, lead, family=FAMILY, words=WORDS)
    wording.choose_family(shop, lead, number, family=FAMILY)
    head = make.head(shop, number)
    with reading(shop.engine) as connection:
        assert sum(s.done for s in work_of(connection, head).steps) == done


def test_an_emptied_word_is_taken_away(shop, lead):
    number = make.on_the_bench(shop, lead)
    wording.put_words(shop, lead, family=FAMILY, words=WORDS)
    wording.choose_family(shop, lead, number, family=FAMILY)
    wording.put_words(shop, lead, family=FAMILY, words={"motor-link": ""})
    assert "ESC wire" not in lines(shop, number)


def test_words_need_a_family_and_a_known_setting(shop, lead):
    with pytest.raises(Unfit, match="whose words"):
        wording.put_words(shop, lead, family=" ", words=WORDS)
    with pytest.raises(Unfit, match="no setting"):
        wording.put_words(shop, lead, family=FAMILY, words={"colour": "blue"})


def test_only_the_lead_enters_words(shop, lead):
    kit = make.staff(shop, lead, "Kit Thorne")
    with pytest.raises(NotAllowed):
        wording.put_words(shop, kit, family=FAMILY, words=WORDS)


def test_a_family_without_words_is_missing(shop, lead):
    number = make.on_the_bench(shop, lead)
    with pytest.raises(Missing, match="no words for"):
        wording.choose_family(shop, lead, number, family="Other")
