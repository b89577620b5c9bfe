"""Pull-in and grip as one belief, because a hard draw may be a tight girth or a stiff leather.

Pull-in first: what a dried ring or sheath measures inside says it alone. Then friction times stiffness: what is left
of a pull once the girth has had its say. Grids, no solver.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import exp, hypot, log, sqrt

import numpy as np
from numpy.typing import NDArray

from backseam.ground.findings import Finding, finding
from backseam.ground.sources import Value, default
from backseam.ground.units import Newton, Share
from backseam.leather.belief import FEW, below, log_sd, normed, or_mistaken, own, place, three
from backseam.leather.evidence import PULL_INS, Finished, learning, student
from backseam.leather.records import TAIL_POINT, leather_records

Array = NDArray[np.float64]

PULL_IN, STIFFNESS, SLOPE = "set.pull_in", "stiffness.hoop", "stiffness.with_pull_in"
FRICTIONS = ("friction.flesh_finished", "friction.grain_finished", "friction.waxed")
FACTORS = np.linspace(-5.0, 5.0, 101)  # standard deviations of what was believed of the factor
HARDEST = 9.0  # logarithm of a pull that is shown


@dataclass(frozen=True)
class Together:
    """Pull-in and factor of the pull as one belief: weight (q, g) over `PULL_INS` and the factors exp(logs).

    factor: pulls of this hide over those of the tables.
    """

    weight: Array
    logs: Array

    @property
    def pull_in(self) -> tuple[Share, Share, Share]:
        """Low, middle and high of the pull-in."""
        return three(PULL_INS, self.weight.sum(axis=1))

    @property
    def factor(self) -> tuple[float, float, float]:
        """Low, middle and high of friction times stiffness, against the tables."""
        low, middle, high = three(self.logs, self.weight.sum(axis=0))
        return exp(low), exp(middle), exp(high)

    @property
    def moments(self) -> tuple[Share, float, float, float, float]:
        """Means of pull-in and of the factor's logarithm, their variances, and their covariance."""
        q, g = self.weight.sum(axis=1), self.weight.sum(axis=0)
        mean_q, mean_g = float(q @ PULL_INS), float(g @ self.logs)
        off_q, off_g = PULL_INS - mean_q, self.logs - mean_g
        var_q, var_g = max(float(q @ off_q**2), FEW), max(float(g @ off_g**2), FEW)
        return mean_q, mean_g, var_q, var_g, float(off_q @ self.weight @ off_g)


def believed(now: Mapping[str, Value]) -> Together:
    """What the records say of both, before any ring or sheath. now: records in force, by name."""
    logs = factor_logs(now)
    return Together(
        normed(-(place(now[PULL_IN], PULL_INS) ** 2)[:, None] / 2 - FACTORS[None, :] ** 2 / 2), logs
    )


def factor_logs(now: Mapping[str, Value]) -> Array:
    """Factors tried, against the tables' own friction and stiffness, which the account is made with."""
    known = leather_records()
    middle = sum(log(now[name].value / known[name].value) for name in (STIFFNESS, FRICTIONS[0]))
    width = hypot(log_sd(now[STIFFNESS]), log_sd(now[FRICTIONS[0]]))
    return np.asarray(middle + FACTORS * width)


def with_finished(before: Together, finished: Sequence[Finished]) -> Together:
    """The belief after rings and sheaths.

    For each pull-in q, each factor exp(g) and each way j in which the rest of that piece may be, what was measured
    is weighed by Student's curve about what the account says, and the ways are averaged:

        L(q, g) = mean over j of  t((girth - inside[q, j])/s_girth)  t((ln pull - ln draw[q, j] - g)/s_pull)

    s_pull: the scale's share, what it cannot tell, and what differs from sheath to sheath, added by squares.
    Source: textbook (Bayes), lange-1989. Tested: hidden pull-in and factor found again, order of pieces, a wild one.
    """
    belief = np.log(np.maximum(before.weight, 1e-300))
    for one in finished:
        belief = belief + fits(one, before.logs)
    return Together(normed(belief), before.logs)


def fits(one: Finished, logs: Array) -> Array:
    """Logarithm of how well pull-ins and factors (q, g) go with what was measured of one piece."""
    freedom = learning("learn.freedom")
    girth = np.zeros_like(one.draw)
    for read, inside in zip(one.girths, one.insides, strict=True):
        girth = girth + student((read - inside) / one.girth_sd, freedom)
    draw = np.log(np.maximum(one.draw, learning("learn.pull_floor") / 10))[:, :, None] + logs
    if one.pull is not None:
        off = (log(one.pull) - draw) / pull_sd(one.pull)
        each = girth[:, :, None] + student(off, freedom)
    else:
        each = girth[:, :, None] + _fault(one, draw)
    most = each.max(axis=1, keepdims=True)
    return np.asarray(np.log(np.exp(each - most).mean(axis=1)) + most[:, 0])


def _fault(one: Finished, draw: Array) -> Array:
    """A fault named without a pull: the draw was below, or above, so much."""
    sharp = learning("learn.fault_says")
    fits_ = np.ones_like(draw)
    if one.most is not None:
        fits_ = fits_ * below((log(one.most) - draw) / sharp)
    if one.least is not None:
        fits_ = fits_ * below((draw - log(one.least)) / sharp)
    return or_mistaken(fits_)


def pull_sd(pull: Newton) -> float:
    """Standard deviation of the logarithm of a pull against the hide's own: scale, what it cannot tell, sheath."""
    scale = hypot(default("fit.pull_noise"), learning("learn.pull_floor") / pull)
    return hypot(scale, learning("learn.factor_between"))


def wild(together: Together, finished: Sequence[Finished]) -> Iterator[Finding]:
    """Measurements far from what all pieces together leave."""
    q = int(np.argmax(together.weight.sum(axis=1)))
    g = together.moments[1]
    most = learning("learn.wild")
    for one in finished:
        for read, inside in zip(one.girths, one.insides, strict=True):
            middle, sd = _middle(inside[q])
            if abs(read - middle) > most * hypot(sd, one.girth_sd):
                yield finding("LEARN-002", (one.test,), test=one.test, girth=read, wanted=middle)
        if one.pull is not None:
            middle, sd = _middle(np.log(np.maximum(one.draw[q], learning("learn.pull_floor") / 10)))
            if abs(log(one.pull) - middle - g) > most * hypot(sd, pull_sd(one.pull)):
                wanted = exp(min(middle + g, HARDEST))
                yield finding("LEARN-003", (one.test,), test=one.test, pull=one.pull, wanted=wanted)


def _middle(values: Array) -> tuple[float, float]:
    return float(np.median(values)), float(values.std())


def dealt(now: Mapping[str, Value], together: Together) -> Iterator[Value]:
    """Pull-in, what of the factor goes with it, and the rest of it dealt out to stiffness and frictions.

    A pull tells a tight girth from a stiff leather only together, so the belief is a slanting hill. It is written down
    as pull-in by itself, the slope of ln(factor) over pull-in, and what is left of ln(factor) beside that slope:

        slope = cov(q, g)/var(q) x var(q)/(var(q) + between^2);   left^2 = var(g) - cov^2/var(q) + between^2

    With ln E and ln mu unknown by s_E and s_mu, and their sum found to be off by d with sd s, the sum is kept by

        ln E + d s_E^2/(s_E^2 + s_mu^2),  sd s s_E/hypot(s_E, s_mu);   the same for mu

    which is the exact mean of each given the sum; their bands are those with which the product has its own. The next
    sheath differs from the last as pieces of one hide do: `between` is added to pull-in and factor.
    Source: textbook (linear regression, conditional normal). Tested: sum, slope and bands kept.
    """
    between = learning("learn.pull_in_between")
    low, middle, high = together.pull_in
    mean_q, mean_g, var_q, var_g, cov = together.moments
    fair = var_q / (var_q + between**2)
    slope = cov / var_q * fair
    edge = between * TAIL_POINT
    yield replace(
        own(now[PULL_IN]),
        low=middle - hypot(middle - low, edge),
        value=middle,
        high=middle + hypot(high - middle, edge),
    )
    yield replace(own(now[SLOPE]), low=slope, value=slope, high=slope)
    off = mean_g + cov / var_q * (middle - mean_q) - float(factor_logs(now)[len(FACTORS) // 2])
    left = hypot(sqrt(max(var_g - cov**2 / var_q, FEW)), learning("learn.factor_between"))
    widths = {name: log_sd(now[name]) for name in (STIFFNESS, FRICTIONS[0])}
    whole = hypot(*widths.values())
    for name in (STIFFNESS, *FRICTIONS):
        mine = widths[STIFFNESS if name == STIFFNESS else FRICTIONS[0]]
        value = now[name].value * exp(off * (mine / whole) ** 2)
        side = exp(TAIL_POINT * min(log_sd(now[name]), left * mine / whole))
        yield replace(own(now[name]), low=value / side, value=value, high=value * side)
