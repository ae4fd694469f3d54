"""How usual a thing is among past builds: a count, and the interval it speaks for."""

from math import sqrt

Z95 = 1.959963984540054  # the standard normal's 97.5 % point


def wilson(count: int, of: int) -> tuple[float, float]:
    """The Wilson score interval at 95 % of a share `count` of `of`, as two shares 0 to 1.

    Nothing counted says nothing: (0, 1). Raises ValueError for a count below 0 or above `of`.
    Source: E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209, as in the NIST handbook, 7.2.4.1.
    """
    if not 0 <= count <= of:
        raise ValueError(f"{count} of {of} is no share.")
    if of == 0:
        return 0.0, 1.0
    share, z2 = count / of, Z95 * Z95
    middle = (share + z2 / (2 * of)) / (1 + z2 / of)
    half = Z95 * sqrt(share * (1 - share) / of + z2 / (4 * of * of)) / (1 + z2 / of)
    return max(0.0, middle - half), min(1.0, middle + half)
