"""What is recorded at a step, as one answer."""

import json
from typing import Any

from server.trade.card import gather
from server.work.bench.step_status import Standing


def whole_answer(standing: Standing) -> dict[str, Any] | None:
    """Every entry for the present target as one answer."""
    return gather(standing.step, [json.loads(e.answer) for e in standing.entries])
