"""What the shop's own measured billets say, as every page reads it, and the page about it."""

from collections.abc import Callable
from typing import Any

import pytest
from bs4 import BeautifulSoup
from django.urls import reverse

from billets.forging.calibration import Calibration, LeftOut, Residual
from billets.history import writing as history
from billets.history.record import measured_billets, shop_calibration
from billets.known.calibration import figures, plot, scatter_percent
from stock.house import House
from tests.kinds import Client, DjangoAssertNumQueries, MakeBillet, Person

MM = 1_000_000
HOUSE = House(system="metric")


@pytest.fixture
def measure(make_billet: MakeBillet, owner: Person) -> Callable[..., Any]:
    """A billet with a measured size near what its stack gives, 7 heats."""

    def build(*, length_mm: float = 240.0, heats: int | None = 7, strange: str = "") -> Any:
        billet = make_billet(stage="drawn")
        history.record_size(
            billet=billet,
            length_nm=round(length_mm * MM),
            width_nm=36 * MM,
            thickness_nm=5 * MM,
            heats=heats,
            by=owner,
            question=strange,
            is_confirmed=bool(strange),
        )
        return billet

    return build


def page(client: Client) -> BeautifulSoup:
    """The page, parsed."""
    return BeautifulSoup(client.get(reverse("billets:calibration")).text, "html.parser")


def test_only_the_last_size_of_a_billet_counts(measure: Callable[..., Any], owner: Person) -> None:
    billet = measure(length_mm=200)
    history.record_size(
        billet=billet, length_nm=241 * MM, width_nm=36 * MM, thickness_nm=5 * MM, heats=8, by=owner
    )

    (found,) = measured_billets()

    assert (found.mark, found.finish.length_mm, found.heats) == (billet.mark, 241.0, 8)
    assert found.start.length_mm == 152.4


def test_heats_that_were_not_typed_are_those_of_the_log_without_struck_ones(
    measure: Callable[..., Any], owner: Person
) -> None:
    billet = measure(heats=None)
    wrong = history.log_heat(billet=billet, by=owner)
    history.log_heat(billet=billet, by=owner)
    history.strike_heat(heat=wrong, by=owner)

    assert [one.heats for one in measured_billets()] == [1]


def test_four_billets_are_not_enough_and_five_are(measure: Callable[..., Any]) -> None:
    for _ in range(4):
        measure()
    few = shop_calibration(HOUSE)
    measure()

    enough = shop_calibration(HOUSE)

    assert (few.billets, few.is_used) == (4, False)
    assert (enough.billets, enough.is_used) == (5, True)


@pytest.mark.slow
def test_from_five_billets_on_the_forecast_of_every_page_uses_them_and_says_so(
    as_helper: Client, measure: Callable[..., Any]
) -> None:
    billets = [measure() for _ in range(5)]

    layup = as_helper.get(reverse("billets:layup-edit", args=[billets[0].layup_id])).text
    billet = as_helper.get(reverse("billets:billet-detail", args=[billets[0].mark])).text

    assert "from the shop&#x27;s own billets" in layup
    assert "from the shop&#x27;s own billets" in billet
    assert "Rests on 5 measured billets." in billet


def test_a_confirmed_strange_size_is_kept_and_left_out_with_its_reason(
    as_helper: Client, measure: Callable[..., Any]
) -> None:
    strange = measure(length_mm=900, strange="more metal than the stack had")

    found = shop_calibration(HOUSE)

    assert found.billets == 0
    assert [one.mark for one in found.left_out] == [strange.mark]
    assert "Finished with more metal than the stack had." in page(as_helper).text


def test_the_page_draws_a_dot_for_each_billet(
    as_helper: Client, measure: Callable[..., Any]
) -> None:
    for length in (238, 240, 242):
        measure(length_mm=length)

    soup = page(as_helper)

    assert len(soup.select("svg.plot circle.dot")) == 3
    assert "3 of 5 measured billets so far." in soup.text
    assert "Every forecast on every page and sheet uses these" not in soup.text


def test_a_shop_without_a_measured_billet_is_told_what_to_do(as_helper: Client) -> None:
    assert "No billet is measured yet." in page(as_helper).text


@pytest.mark.slow
def test_the_page_asks_the_database_no_more_for_many_billets(
    as_owner: Client,
    measure: Callable[..., Any],
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    for _ in range(7):
        measure()

    with django_assert_max_num_queries(8):
        as_owner.get(reverse("billets:calibration"))


def fit(*ratios: float) -> Calibration:
    """A fit with residuals of these ratios, predicted 100 mm each."""
    return Calibration(
        loss_ratio=0.01,
        loss_scatter=0.002,
        spread=0.25,
        spread_scatter=0.01,
        crop_ratio=0.04,
        residuals=tuple(
            Residual(f"K{place}", 100.0, 100.0 * (1 + ratio), 30.0, 30.0, False)
            for place, ratio in enumerate(ratios)
        ),
        left_out=(LeftOut("K99", "left out: hardly drawn"),),
    )


def test_the_scatter_is_the_median_difference_made_comparable_to_a_sigma() -> None:
    # Differences of 1, 2 and 4 %: the middle one is 2, times 1.4826.
    assert scatter_percent(fit(0.01, -0.02, 0.04)) == pytest.approx(2.9652)
    # 1 and 3 %: the middle is 2.
    assert scatter_percent(fit(0.01, -0.03)) == pytest.approx(2.9652)
    assert scatter_percent(fit(0.01)) == 0.0


def test_the_plot_is_in_the_shops_unit_and_in_per_cent() -> None:
    drawing = plot(fit(0.01, -0.02), house=House(system="inch"))

    assert drawing is not None
    assert [round(dot.residual.predicted, 3) for dot in drawing.dots] == [3.937, 3.937]
    assert [round(dot.residual.residual, 6) for dot in drawing.dots] == [1.0, -2.0]
    assert plot(fit(), house=HOUSE) is None


def test_figures_stand_with_their_scatter() -> None:
    said = {one.word: (one.text, one.second) for one in figures(fit(0.01, -0.02))}

    assert said["Lost in a heat"] == ("1.0 %", "give or take 0.2 %")
    assert said["Spread"] == ("0.250", "give or take 0.010")
    assert figures(fit()) == []
