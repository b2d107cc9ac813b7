"""The shop's rates: dated sheets, typed in the units on the bills, for the owner alone."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest
from django.urls import reverse

from shop.costing.lines import NoRatesYetError
from shop.models import RateSheet
from shop.rates import writing as rates
from tests.kinds import Client, MakeClass, Person, ShopSettings, sure

LB_UG = 453_592_370


def typed(**changes: str) -> dict[str, str]:
    """The form, filled with what most shops know."""
    return {
        "from_date": "2026-03-01",
        "labour_cents_per_hour": "32",
        "overhead_cents_per_hour": "9.50",
        "weight_unit": "lb",
        "fuel_cents": "1.28",
        "burn_rate": "2.5",
        "power_price": "0.1625",
        "card_fee": "2.9",
        "card_fixed_cents": "0.30",
        "tax": "6.25",
        "cut_s": "7.5",
        "heat_s": "6",
        "watts_press": "3700",
        "machine_s_press": "4",
    } | changes


def test_rates_are_written_down_as_whole_numbers(as_owner: Client) -> None:
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


def test_an_old_job_keeps_its_old_rates(as_owner: Client) -> None:
    as_owner.post(reverse("shop:rates"), typed())
    as_owner.post(reverse("shop:rates"), typed(from_date="2026-06-01", labour_cents_per_hour="40"))

    history = rates.history()

    assert history.on(date(2026, 5, 31)).rates.labour_cents_per_hour == 3200
    assert history.on(date(2026, 6, 1)).rates.labour_cents_per_hour == 4000
    with pytest.raises(NoRatesYetError):
        history.on(date(2026, 2, 28))


def test_a_sheet_of_the_same_day_is_put_right(as_owner: Client) -> None:
    as_owner.post(reverse("shop:rates"), typed())
    as_owner.post(reverse("shop:rates"), typed(labour_cents_per_hour="33"))

    assert RateSheet.objects.count() == 1
    assert rates.history().on(date(2026, 3, 1)).rates.labour_cents_per_hour == 3300


def test_the_burn_rate_follows_from_orifice_and_pressure(as_owner: Client) -> None:
    as_owner.post(
        reverse("shop:rates"),
        typed(burn_rate="", orifice_nm="1 mm", pressure="10.8", burners="2"),
    )

    burnt = rates.history().on(date(2026, 3, 1)).rates.burn_ug_per_hour
    # By hand: 0.85 x 1.5708 mm2 x 175 788 Pa x 4.583e-3 s/m x 0.5962 = 0.641 g/s = 5.09 lb/h.
    assert burnt / LB_UG == pytest.approx(5.09, abs=0.01)
    page = as_owner.get(reverse("shop:rates") + "?from=2026-03-01").text
    assert 'value="10.8"' in page


def test_a_person_may_have_a_rate_of_their_own(as_owner: Client, helper: Person) -> None:
    as_owner.post(reverse("shop:rates"), typed(**{f"person_{helper.pk}": "22"}))

    found = rates.history().on(date(2026, 3, 1))
    assert found.labour_of(helper.pk) == 2200
    assert found.labour_of(helper.pk + 99) is None


def test_a_metric_shop_types_litres_and_bar(as_owner: Client, shop_row: ShopSettings) -> None:
    shop_row.values |= {"system": "metric", "currency": "EUR"}
    shop_row.save()

    as_owner.post(
        reverse("shop:rates"),
        typed(
            weight_unit="kg",
            burn_rate="1,5",
            shielding_cents="80",
            shielding_volume="2000",
            shielding_flow="10",
            filler_cents="9",
        ),
    )

    found = rates.history().on(date(2026, 3, 1)).rates
    assert found.burn_ug_per_hour == 1_500_000_000
    assert found.shielding.of(10_000) == 40
    assert found.shielding_ml_per_minute == 10_000
    assert found.filler.of(1_000_000_000) == 900


@pytest.mark.slow
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
    as_owner: Client, field: str, text: str, sentence: str
) -> None:
    response = as_owner.post(reverse("shop:rates"), typed(note="spring bill") | {field: text})

    assert response.status_code == 422
    assert sentence in response.text
    assert 'value="spring bill"' in response.text
    assert not RateSheet.objects.exists()


def test_an_orifice_wants_its_pressure(as_owner: Client) -> None:
    response = as_owner.post(reverse("shop:rates"), typed(burn_rate="", orifice_nm="1 mm"))

    assert response.status_code == 422
    assert "Give the pressure at the regulator" in response.text


def test_the_form_starts_with_the_last_rates(as_owner: Client) -> None:
    as_owner.post(reverse("shop:rates"), typed())

    page = as_owner.get(reverse("shop:rates")).text

    assert 'value="0.1625"' in page
    assert 'value="2.5"' in page
    assert "$32.00" in page


def test_rates_are_not_for_helpers_or_strangers(client: Client, helper: Person) -> None:
    stranger = client.get(reverse("shop:rates"))
    client.force_login(helper)
    helpers = client.get(reverse("shop:rates"))
    posted = client.post(reverse("shop:rates"), typed())

    assert stranger["Location"].startswith(reverse("shop:sign-in"))
    assert (helpers.status_code, posted.status_code) == (403, 403)
    assert not RateSheet.objects.exists()


def test_gas_bought_by_the_kilogram_in_an_inch_shop_stays_as_it_was_typed(as_owner: Client) -> None:
    as_owner.post(
        reverse("shop:rates"), typed(weight_unit="kg", fuel_cents="2.99", burn_rate="1.2")
    )

    found = rates.history().on(date(2026, 3, 1)).rates
    assert found.fuel.of(1_000_000_000) == 299
    assert found.burn_ug_per_hour == 1_200_000_000
    page = as_owner.get(reverse("shop:rates") + "?from=2026-03-01").text
    assert 'value="2.99"' in page
    assert 'value="1.2"' in page
    assert '<option value="kg" selected>' in page


def test_a_shop_that_writes_commas_types_and_sees_them(
    as_owner: Client, shop_row: ShopSettings
) -> None:
    shop_row.values |= {"system": "metric", "currency": "EUR", "locale": "de_DE"}
    shop_row.save()

    as_owner.post(
        reverse("shop:rates"),
        typed(labour_cents_per_hour="1.032,50 €", power_price="0,3125", watts_press="3.700"),
    )

    found = rates.history().on(date(2026, 3, 1))
    assert found.rates.labour_cents_per_hour == 103_250
    assert found.rates.power.of(3_600_000) == Fraction(3125, 100)
    assert found.watts["press"] == 3700
    page = as_owner.get(reverse("shop:rates")).text
    assert 'value="1032,50"' in page
    assert 'value="0,3125"' in page


@pytest.mark.parametrize(
    ("currency", "typed_rate", "minor", "shown"),
    [("JPY", "3,200", 3200, "3200"), ("KWD", "9.750", 9750, "9.750")],
)
def test_currencies_of_no_and_of_three_decimals_are_typed_and_shown(
    as_owner: Client, shop_row: ShopSettings, currency: str, typed_rate: str, minor: int, shown: str
) -> None:
    shop_row.values |= {"currency": currency}
    shop_row.save()
    plain = {"overhead_cents_per_hour": "4", "fuel_cents": "1", "card_fixed_cents": ""}

    as_owner.post(reverse("shop:rates"), typed(labour_cents_per_hour=typed_rate, **plain))

    assert rates.history().on(date(2026, 3, 1)).rates.labour_cents_per_hour == minor
    assert f'value="{shown}"' in as_owner.get(reverse("shop:rates")).text


def test_rates_with_a_wrong_day_are_moved_and_not_doubled(as_owner: Client) -> None:
    as_owner.post(reverse("shop:rates"), typed(from_date="2062-03-01"))

    as_owner.post(reverse("shop:rates") + "?from=2062-03-01", typed(from_date="2026-03-01"))

    assert [sheet.from_date for sheet in RateSheet.objects.all()] == [date(2026, 3, 1)]


def test_rates_are_not_moved_onto_others(as_owner: Client) -> None:
    as_owner.post(reverse("shop:rates"), typed())
    as_owner.post(reverse("shop:rates"), typed(from_date="2026-06-01"))

    response = as_owner.post(reverse("shop:rates") + "?from=2026-06-01", typed())

    assert response.status_code == 422
    assert "That day has rates of its own." in response.text
    assert RateSheet.objects.count() == 2


def test_putting_right_says_which_jobs_it_reaches(as_owner: Client, make_class: MakeClass) -> None:
    make_class()  # ends on 10 May 2026
    as_owner.post(reverse("shop:rates"), typed())
    as_owner.post(reverse("shop:rates"), typed(from_date="2026-06-01"))

    first = as_owner.get(reverse("shop:rates") + "?from=2026-03-01").text
    second = as_owner.get(reverse("shop:rates") + "?from=2026-06-01").text

    assert "1 class of those days is reckoned with them." in first
    assert "No job of those days yet" in second


def test_somebody_who_left_keeps_their_old_rate(as_owner: Client, helper: Person) -> None:
    as_owner.post(reverse("shop:rates"), typed(**{f"person_{helper.pk}": "22"}))
    helper.is_active = False
    helper.save()

    as_owner.post(
        reverse("shop:rates") + "?from=2026-03-01", typed(**{f"person_{helper.pk}": "22"})
    )

    assert f"person_{helper.pk}" in as_owner.get(reverse("shop:rates") + "?from=2026-03-01").text
    assert rates.history().on(date(2026, 3, 1)).labour_of(helper.pk) == 2200


@pytest.mark.parametrize(
    ("pressure", "words"),
    [
        ("10", "Under 10.8 psi the flow does not choke and the figure is less sure"),
        ("15", "propane through 2 orifices of 1 mm at 15 psi, choked flow."),
    ],
)
def test_the_page_says_where_the_burn_rate_comes_from(
    as_owner: Client, pressure: str, words: str
) -> None:
    as_owner.post(
        reverse("shop:rates"),
        typed(burn_rate="", orifice_nm="1 mm", pressure=pressure, burners="2"),
    )

    assert words in as_owner.get(reverse("shop:rates")).text


def test_billets_are_counted_with_the_rates_they_are_reckoned_with(
    as_owner: Client, planned_class: MakeClass
) -> None:
    row = planned_class(students=2)  # billets planned today, for a class that ends on 10 May 2026
    as_owner.post(reverse("shop:rates"), typed())
    as_owner.post(reverse("shop:rates"), typed(from_date="2026-06-01"))

    assert rates.resting_on(RateSheet.objects.get(from_date="2026-03-01")) == (1, 2)
    assert rates.resting_on(RateSheet.objects.get(from_date="2026-06-01")) == (0, 0)
    assert rates.day_of(sure(row.seats.get(number=1).billet)) == date(2026, 5, 10)
