"""The owner's page on paper: one page, whatever is on it."""

from __future__ import annotations

from datetime import date

import pytest

from billets.models import Layer
from shop.class_money import writing as class_money
from shop.class_money.figures import class_figures
from shop.class_money.reading import books_of
from shop.class_money.summary import class_summary_html
from shop.rates import writing as rates
from stock.house import House
from tests.conftest import IN
from tests.kinds import ForgeClass, MakeClass, MakeLayup, MakeMaterial, MakePiece, Person
from tests.shop.drawn_paper import texts

SHEET = {
    "labour_cents_per_hour": 3133, "overhead_cents_per_hour": 917, "fuel_cents": 128,
    "burn_ug_per_hour": 1_133_980_925, "power_cents": 1741, "shielding_cents": 6200,
    "shielding_per_ml": 3_539_625, "shielding_ml_per_minute": 9439, "filler_cents": 415,
    "billet_consumables_cents": 237, "card_fee_bp": 290, "card_fixed_cents": 30, "tax_bp": 625,
    "cut_s": 470, "clean_s": 900, "weld_s": 905, "heat_s": 361, "arc_s": 300,
    "watts_press": 3700, "machine_s_press": 241,
}  # fmt: skip
TERMS = {
    "fee_cents": 99_999_999, "deposit_cents": 10_000_000, "place_cents": 30_000_000,
    "helper_cents": 9_000_000, "other_cents": 5_000_000, "teach_minutes": 6110,
    "prepare_minutes": 970, "seat_cents": 2_511_000, "refund_rule": [[30, 10000], [14, 5000]],
}  # fmt: skip
LONG = "Copper lines and patient hammers, the long advanced class for smiths who came before "


@pytest.fixture
def crowded(
    planned_class: MakeClass, make_material: MakeMaterial, make_piece: MakePiece, owner: Person
) -> ForgeClass:
    """A held class with a long name, large sums, an own layup and a seat given up."""
    rates.set_rates(from_date=date(2020, 1, 1), values=SHEET, by=owner)
    row = planned_class(students=2, spares=0, title=LONG[:100], place="P" * 40 + " " + "Q" * 59)
    class_money.set_terms(forge_class=row, changes=TERMS, by=owner)
    real = {"place_cents": 31_000_000, "teach_minutes": 7000, "seats_cents": 1}
    class_money.set_real(forge_class=row, real=real, by=owner)
    row.seats.filter(number=2).update(blank_length_nm=3 * IN)
    row.state = "held"
    row.save()
    return row


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["Letter", "A4"])
@pytest.mark.parametrize("system", ["inch", "metric"])
@pytest.mark.parametrize(
    ("currency", "locale"),
    [("USD", "en_US"), ("JPY", "ja_JP"), ("KWD", "en_US"), ("EUR", "de_DE"), ("NOK", "nb_NO")],
)
def test_long_names_and_large_sums_stay_on_one_page(
    crowded: ForgeClass, paper: str, system: str, currency: str, locale: str
) -> None:
    house = House(
        is_owner=True,
        sees_money=True,
        paper=paper,
        system=system,
        currency=currency,
        locale=locale,
        name="The Forge at the End of a Rather Long Lane, Established Long Ago",
    )

    figures = class_figures(books_of(crowded, house=house))
    pages = texts(class_summary_html(crowded, figures, house=house))

    assert len(pages) == 1
    for words in ("Whoever comes", "Profit by seats taken", "Spares", "Planned and real", "All"):
        assert words in pages[0]


@pytest.mark.slow
def test_eleven_metals_stay_on_one_page(
    planned_class: MakeClass, make_layup: MakeLayup, make_bar: MakePiece, owner: Person
) -> None:
    layup = make_layup(override_reason="a trial of many steels")
    alloys = ("15n20", "80crv2", "5160", "52100", "1075", "w2", "1080", "304")
    for place, alloy in enumerate(alloys, start=5):
        Layer.objects.create(
            layup=layup, position=place, alloy=alloy, thickness_nm=IN // 8, role="line"
        )
        make_bar(alloy=alloy)
    rates.set_rates(from_date=date(2020, 1, 1), values=SHEET, by=owner)
    row = planned_class(students=2, layup=layup, title=LONG[:100])
    class_money.set_terms(forge_class=row, changes=TERMS, by=owner)
    row.state = "held"
    row.save()
    house = House(is_owner=True, sees_money=True)

    figures = class_figures(books_of(row, house=house))
    pages = texts(class_summary_html(row, figures, house=house))

    assert len(pages) == 1
    for name in ("1084", "1095", "C10200", "15N20", "80CrV2", "5160", "52100", "1075", "304"):
        assert name in pages[0]
