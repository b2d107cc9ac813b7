"""The shop's rates: dated sheets, typed in the units on the bills, for the owner alone."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.urls import reverse

from shop import rates
from shop.costing import NoRatesYetError
from shop.models import RateSheet

LB_UG = 453_592_370


def typed(**changes: str) -> dict[str, str]:
    """The form, filled with what most shops know."""
    return {
        "from_date": "2026-03-01", "labour_cents_per_hour": "32", "overhead_cents_per_hour": "9.50",
        "fuel_cents": "1.28", "burn_rate": "2.5", "power_price": "0.1625", "card_fee": "2.9",
        "card_fixed_cents": "0.30", "tax": "6.25", "cut_s": "7.5", "heat_s": "6",
        "watts_press": "3700", "machine_s_press": "4",
    } | changes  # fmt: skip


def test_rates_are_written_down_as_whole_numbers(as_owner: Any) -> None:
    response = as_owner.post(reverse("shop:rates"), typed())

    assert response.status_code == 302
    found = rates.history().on(date(2026, 3, 1))
    assert found.rates.labour_cents_per_hour == 3200
    assert found.rates.overhead_cents_per_hour == 950
    assert found.rates.fuel.of(LB_UG) == 128
    assert found.rates.burn_ug_per_hour == 1_133_980_925
    assert found.rates.power.of(3_600_000) * 100 == 1625
    assert (found.charges.card_fee_bp, found.charges.card_fixed_cents) == (290, 30)
    assert found.charges.tax_bp == 625
    assert (found.usual.cut_s, found.usual.heat_s) == (450, 360)
    assert found.runs(found.usual.machine_s)[0].joules == 888_000


def test_an_old_job_keeps_its_old_rates(as_owner: Any) -> None:
    as_owner.post(reverse("shop:rates"), typed())
    as_owner.post(reverse("shop:rates"), typed(from_date="2026-06-01", labour_cents_per_hour="40"))

    history = rates.history()

    assert history.on(date(2026, 5, 31)).rates.labour_cents_per_hour == 3200
    assert history.on(date(2026, 6, 1)).rates.labour_cents_per_hour == 4000
    with pytest.raises(NoRatesYetError):
        history.on(date(2026, 2, 28))


def test_a_sheet_of_the_same_day_is_put_right(as_owner: Any) -> None:
    as_owner.post(reverse("shop:rates"), typed())
    as_owner.post(reverse("shop:rates"), typed(labour_cents_per_hour="33"))

    assert RateSheet.objects.count() == 1
    assert rates.history().on(date(2026, 3, 1)).rates.labour_cents_per_hour == 3300


def test_the_burn_rate_follows_from_orifice_and_pressure(as_owner: Any) -> None:
    as_owner.post(
        reverse("shop:rates"),
        typed(burn_rate="", orifice_nm="1 mm", pressure="10.8", burners="2"),
    )

    burnt = rates.history().on(date(2026, 3, 1)).rates.burn_ug_per_hour
    # By hand: 0.85 x 1.5708 mm2 x 175 788 Pa x 4.583e-3 s/m x 0.5962 = 0.641 g/s = 5.09 lb/h.
    assert burnt / LB_UG == pytest.approx(5.09, abs=0.01)
    page = as_owner.get(reverse("shop:rates") + "?from=2026-03-01").text
    assert 'value="10.8"' in page


def test_a_person_may_have_a_rate_of_their_own(as_owner: Any, helper: Any) -> None:
    as_owner.post(reverse("shop:rates"), typed(**{f"person_{helper.pk}": "22"}))

    found = rates.history().on(date(2026, 3, 1))
    assert found.labour_of(helper.pk) == 2200
    assert found.labour_of(helper.pk + 99) is None


def test_a_metric_shop_types_litres_and_bar(as_owner: Any, shop_row: Any) -> None:
    shop_row.values |= {"system": "metric", "currency": "EUR"}
    shop_row.save()

    as_owner.post(
        reverse("shop:rates"),
        typed(
            burn_rate="1,5", shielding_cents="80", shielding_volume="2000", shielding_flow="10",
            filler_cents="9",
        ),
    )  # fmt: skip

    found = rates.history().on(date(2026, 3, 1)).rates
    assert found.burn_ug_per_hour == 1_500_000_000
    assert found.shielding.of(10_000) == 40
    assert found.shielding_ml_per_minute == 10_000
    assert found.filler.of(1_000_000_000) == 900


@pytest.mark.parametrize(
    ("field", "text", "sentence"),
    [
        ("from_date", "soon", "is not a day"),
        ("labour_cents_per_hour", "lots", "lots"),
        ("burn_rate", "-1", "It cannot be below 0."),
        ("burn_rate", "9**9**9", "Write a plain number"),
        ("card_fee", "75", "More than 50 is surely a slip"),
        ("orifice_nm", "1 mm", "not both"),
        ("shielding_cents", "60", "Say how much gas the cylinder holds"),
    ],
)
def test_a_bad_figure_is_told_and_nothing_is_lost(
    as_owner: Any, field: str, text: str, sentence: str
) -> None:
    response = as_owner.post(reverse("shop:rates"), typed(note="spring bill") | {field: text})

    assert response.status_code == 422
    assert sentence in response.text
    assert 'value="spring bill"' in response.text
    assert not RateSheet.objects.exists()


def test_an_orifice_wants_its_pressure(as_owner: Any) -> None:
    response = as_owner.post(reverse("shop:rates"), typed(burn_rate="", orifice_nm="1 mm"))

    assert response.status_code == 422
    assert "Give the pressure at the regulator" in response.text


def test_the_form_starts_with_the_last_rates(as_owner: Any) -> None:
    as_owner.post(reverse("shop:rates"), typed())

    page = as_owner.get(reverse("shop:rates")).text

    assert 'value="0.1625"' in page
    assert 'value="2.5"' in page
    assert "$32.00" in page


def test_rates_are_not_for_helpers_or_strangers(client: Any, helper: Any) -> None:
    stranger = client.get(reverse("shop:rates"))
    client.force_login(helper)
    helpers = client.get(reverse("shop:rates"))
    posted = client.post(reverse("shop:rates"), typed())

    assert stranger.url.startswith(reverse("shop:sign-in"))
    assert (helpers.status_code, posted.status_code) == (403, 403)
    assert not RateSheet.objects.exists()
