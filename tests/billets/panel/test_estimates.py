"""Worked-out sizes of a billet: no more digits than a tape shows, and "about" in front."""

import pytest

from billets.panel.figures import block_estimate, length_estimate, width_estimate


@pytest.mark.parametrize(
    ("mm", "system", "said"),
    [
        (263.6, "inch", "10-3/8 in"),  # 10.378 in
        (263.6, "metric", "264 mm"),
        (177.39, "inch", "7 in"),  # 6.984 in, which is 6-63/64
        (0.0, "inch", "1/8 in"),
        (0.2, "metric", "1 mm"),
    ],
)
def test_a_length_is_said_to_an_eighth_or_a_millimetre(mm: float, system: str, said: str) -> None:
    assert length_estimate(mm, system=system) == said


def test_a_width_is_said_to_a_thirty_second_or_half_a_millimetre() -> None:
    assert width_estimate(39.6, system="inch") == "1-9/16 in"  # 1.559 in
    assert width_estimate(39.6, system="metric") == "39.5 mm"


def test_a_width_that_was_entered_is_said_as_it_was_entered() -> None:
    def said(*, is_set: bool) -> str:
        return block_estimate(
            length_mm=263.6, width_mm=39.6, thickness_mm=4.8, width_is_set=is_set, system="metric"
        )

    free, held = said(is_set=False), said(is_set=True)

    assert free == "about 264 × 39.5 × 4.8 mm"
    assert held == "about 264 × 39.6 × 4.8 mm"


def test_a_length_that_was_entered_is_said_as_it_was_entered() -> None:
    said = block_estimate(
        length_mm=263.6,
        width_mm=39.6,
        thickness_mm=4.8,
        width_is_set=False,
        length_is_set=True,
        system="metric",
    )

    assert said == "about 263.6 × 39.5 × 4.8 mm"
