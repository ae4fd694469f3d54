"""Which of a few readings stands out, by the modified z-score.

B. Iglewicz, D. C. Hoaglin, How to Detect and Handle Outliers, ASQC vol. 16, 1993; formula as read
in public texts.
"""

from collections.abc import Mapping, Sequence
from statistics import fmean, median

LIMIT = 3.5
NORMAL = 0.6745  # the 75 % point of the normal distribution
FALLBACK = 1.2533  # √(π/2): mean absolute deviation to standard deviation, for a normal one
# Four speeds that nearly agree have a tiny spread, and a tiny difference would look large against
# it. Under this share of the median nothing is worth a look. Common practice, no source.
LEAST_SHARE = 0.05


def modified_z(values: Sequence[float]) -> tuple[float, ...]:
    """The modified z-score of each value: 0.6745·(x − median)/MAD.

    Where the median deviation is 0 the mean one stands in; where that is 0 too, all scores are 0.
    """
    middle = median(values)
    away = [value - middle for value in values]
    spread = median(map(abs, away)) / NORMAL or fmean(map(abs, away)) * FALLBACK
    return tuple(part / spread if spread else 0.0 for part in away)


def odd_ones(speeds: Mapping[int, float]) -> tuple[int, ...]:
    """The outputs whose speed stands out among three or more, any one unit.

    A speed stands out when its score is over 3.5 and it is over 5 % off the median. Where most
    agree to the digit, the 5 % alone decide: no score of four values can reach 3.5 then.
    """
    if len(speeds) < 3:
        return ()
    middle = median(speeds.values())
    agree = median(abs(speed - middle) for speed in speeds.values()) == 0
    scores = modified_z(tuple(speeds.values()))
    return tuple(
        output
        for (output, speed), score in zip(speeds.items(), scores, strict=True)
        if (agree or abs(score) > LIMIT) and abs(speed - middle) > LEAST_SHARE * abs(middle)
    )


def rev_per_minute(electrical: float, poles: int) -> float:
    """Mechanical speed in rev/min from electrical speed in rev/min.

    One electrical turn a pair of poles (synchronous speed 120·f/poles, any machines text). Raises
    ValueError when `poles` is odd or below 2.
    """
    if poles < 2 or poles % 2:
        raise ValueError(f"A motor has an even number of poles, 2 or more, not {poles}.")
    return electrical / (poles / 2)
