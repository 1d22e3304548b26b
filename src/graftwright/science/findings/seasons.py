"""How likely counts of several seasons are, for a long-run share and for how much seasons differ."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scipy.special import betaln, gammaln

from graftwright.science.findings.troubles import NotAShare

if TYPE_CHECKING:
    from graftwright.science.arrays import FloatArray


def season_log_likelihood(
    taken: FloatArray, made: FloatArray, mean: FloatArray, rho: FloatArray
) -> FloatArray:
    """Log likelihood of seasons whose shares are Beta round a long-run mean.

    Parameters
    ----------
    taken, made : array of shape (seasons,)
        Units that passed, of those that entered, in each season [counts].
    mean, rho : array of one shape
        Long-run share, and the seasons' variance as a part of mean (1 - mean) [0-1, without the ends];
        the Beta law has the parameters mean (1/rho - 1) and (1 - mean)(1/rho - 1).

    Returns
    -------
    array of the shape of `mean`
        With the binomial constants.

    Raises
    ------
    NotAShare
        A mean or a rho is not between 0 and 1.

    References
    ----------
    Skellam (1948), J. R. Stat. Soc. B 10:257-261; Williams (1975), Biometrics 31:949-952.

    Examples
    --------
    >>> import numpy as np
    >>> one = np.array([1.0])
    >>> season_log_likelihood(one, one, np.array([0.6]), np.array([0.1])).round(4).tolist()
    [-0.5108]
    """
    for what, values in (("The long-run share", mean), ("How much seasons differ", rho)):
        wrong = ~((values > 0.0) & (values < 1.0))
        if wrong.any():
            raise NotAShare(what, float(values[wrong].flat[0]))
    weight = 1.0 / rho - 1.0
    a, b = (mean * weight)[..., None], ((1.0 - mean) * weight)[..., None]
    constants = gammaln(made + 1.0) - gammaln(taken + 1.0) - gammaln(made - taken + 1.0)
    seasons = constants + betaln(a + taken, b + made - taken) - betaln(a, b)
    total: FloatArray = seasons.sum(axis=-1)
    return total
