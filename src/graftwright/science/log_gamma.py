"""The logarithm of the gamma function as differences that stay exact for large arguments.

Taken apart, ln Γ(10⁷) and ln Γ(10⁷ + z) are both near 1.5·10⁸ and their difference keeps seven
digits; taken as one difference it keeps fifteen.
"""

from __future__ import annotations

import cmath
import math

# Stirling's series from here on: its sixth term is below 1e-15 of the sum at 10, and at 16 for
# arguments up to 120° off the positive axis.
_FAR_RIGHT = 10.0
_FAR_OUT = 16.0


def rise(x: float, z: complex) -> complex:
    """Return ln Γ(x + z) - ln Γ(x), up to a multiple of 2πi.

    Parameters
    ----------
    x : float
        Above 0.
    z : complex
        Such that x + z lies at most 120° off the positive axis, or within 16 of 0 and on no pole.

    Returns
    -------
    complex
        With an error of about 1e-15 · (1 + |z|).

    References
    ----------
    NIST Digital Library of Mathematical Functions, 5.5.1 (recurrence) and 5.11.1 (Stirling's series).

    Examples
    --------
    >>> round(rise(5.0, 1 + 0j).real, 12) == round(math.log(5), 12)
    True
    """
    y = x + z
    steps = _steps_right(x, y)
    ratio: complex = 1.0
    for step in range(steps):
        ratio *= (x + step) / (y + step)
    x, y = x + steps, y + steps
    far = z * (math.log(x) - 1.0) + (y - 0.5) * _log1p(z / x) + _stirling(y) - _stirling(x)
    return far + cmath.log(ratio) if steps else far


def _steps_right(x: float, y: complex) -> int:
    needed = _FAR_RIGHT - x
    if abs(y) < _FAR_OUT:
        needed = max(needed, _FAR_RIGHT - y.real)
    return max(0, math.ceil(needed))


def _log1p(w: complex) -> complex:
    u, v = w.real, w.imag
    return complex(0.5 * math.log1p(u * (2.0 + u) + v * v), math.atan2(v, 1.0 + u))


def _stirling(x: complex) -> complex:
    r = 1.0 / x
    q = r * r
    inner = 1 / 1260 - q * (1 / 1680 - q * (1 / 1188 - q * (691 / 360360)))
    return r * (1 / 12 - q * (1 / 360 - q * inner))


def slopes(x: float) -> tuple[float, float, float]:
    """Return the first three derivatives of ln Γ at `x`: digamma, trigamma, tetragamma.

    Parameters
    ----------
    x : float
        Above 0.

    Returns
    -------
    tuple of float
        Good to about 1e-12, enough to steer by.

    References
    ----------
    NIST Digital Library of Mathematical Functions, 5.5.2, 5.11.2 and 5.15.

    Examples
    --------
    >>> round(slopes(1.0)[0], 9)
    -0.577215665
    """
    first = second = third = 0.0
    while x < _FAR_RIGHT:
        r = 1.0 / x
        first -= r
        second += r * r
        third -= 2.0 * r * r * r
        x += 1.0
    r = 1.0 / x
    q = r * r
    first += math.log(x) - 0.5 * r - q * (1 / 12 - q * (1 / 120 - q * (1 / 252 - q / 240)))
    second += r + 0.5 * q + q * r * (1 / 6 - q * (1 / 30 - q * (1 / 42 - q / 30)))
    third -= q + q * r + q * q * (0.5 - q * (1 / 6 - q * (1 / 6 - q * 0.3)))
    return first, second, third
