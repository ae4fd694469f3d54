"""Each kind of line in a ticket's history has its sentence."""

import re

import pytest

from server.trade.events import SENTENCES, Event, sentence


@pytest.mark.parametrize("event", Event)
def test_an_event_has_a_sentence_that_its_words_fill(event: Event) -> None:
    gaps = re.findall(r"\{(\w+)\}", SENTENCES[event])
    told = {gap: f"<{gap}>" for gap in gaps}
    said = sentence(event, **told)
    assert all(f"<{gap}>" in said for gap in gaps)
    assert "{" not in said


def test_a_sentence_without_its_words_is_refused() -> None:
    with pytest.raises(KeyError, match="reason"):
        sentence(Event.HELD, by="Kit")
