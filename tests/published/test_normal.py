"""Spares and yields against the normal distribution, which they must come near when many."""

import math

import pytest
from scipy import stats

from shop.yields.beta import beta_quantile
from shop.yields.record import Record, share_interval
from shop.yields.spares import at_least_sound, at_least_sound_at


def test_half_a_thousand_at_nine_in_ten_is_nearly_normal() -> None:
    # De Moivre-Laplace with the continuity correction; binomial against scipy's normal.
    mean, spread = 500 * 0.9, math.sqrt(500 * 0.9 * 0.1)

    found = at_least_sound_at(445, billets=500, share=0.9)

    assert found == pytest.approx(stats.norm.sf((444.5 - mean) / spread), abs=0.003)


@pytest.mark.parametrize("sound", [400, 500, 600])
def test_a_long_record_gives_the_textbook_interval(sound: int) -> None:
    # p +- 1.645 standard errors (any statistics text; z from scipy): Wald's interval for 1000.
    share = sound / 1000
    reach = stats.norm.ppf(0.95) * math.sqrt(share * (1 - share) / 1000)

    low, high = share_interval(Record(sound, 1000))

    assert float(low) == pytest.approx(share - reach, abs=5e-4)
    assert float(high) == pytest.approx(share + reach, abs=5e-4)


def test_the_beta_s_middle_comes_to_the_normal_s() -> None:
    # A beta of many is a normal about a / (a + b) with variance ab / ((a + b)^2 (a + b + 1)).
    spread = math.sqrt(0.25 / 2001)

    assert beta_quantile(0.975, a=1000, b=1000) == pytest.approx(
        0.5 + stats.norm.ppf(0.975) * spread, abs=2e-5
    )


def test_a_long_record_is_as_good_as_a_known_yield() -> None:
    learned = at_least_sound(10, billets=12, record=Record(90_000, 100_000))
    known = at_least_sound_at(10, billets=12, share=0.9)

    assert learned == pytest.approx(known, abs=1e-4)
