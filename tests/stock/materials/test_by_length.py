"""Rolls cut to order: whole prices a step, the form, and the cheapest against trying them all."""

import itertools
import random

import pytest

from stock.buying.best import buy
from stock.buying.case import Break, BuyingCase, Goods, SheetNeed, SupplierTerms
from stock.cutting.plans.plan import Rectangle
from stock.materials import by_length, offer_writing
from stock.materials.by_length import ByLengthError
from stock.materials.writing import KeepingError
from stock.models import Material, Offer
from tests.kinds import Client, MakeMaterial, Supplier
from tests.stock.buying.test_buying_tried import price_of
from tests.stock.buying_builders import packs_of, the_best

MM = 1_000_000
IN = 25_400_000
FT = 12 * IN
ADD = "/offers/add/"


def test_a_step_costs_its_share_of_the_price() -> None:
    # 12.50 a foot is 6.25 for half of it; 18.00 a metre is 4.50 for 25 cm.
    assert by_length.step_cents(1250, length_nm=FT, step_nm=6 * IN) == 625
    assert by_length.step_cents(1800, length_nm=1000 * MM, step_nm=250 * MM) == 450


def test_a_step_without_a_whole_price_names_the_shortest_that_has_one() -> None:
    # 12.50 a foot is 104 1/6 cents an inch; six inches are the first that come to whole cents.
    with pytest.raises(ByLengthError) as caught:
        by_length.step_cents(1250, length_nm=FT, step_nm=IN)

    assert caught.value.exact_step_nm == 6 * IN


@pytest.mark.parametrize(("least_nm", "steps"), [(FT, 1), (3 * FT, 3)])
def test_the_least_length_is_a_number_of_steps(least_nm: int, steps: int) -> None:
    assert by_length.fewest_steps(least_nm, step_nm=FT) == steps


@pytest.mark.parametrize("least_nm", [0, 6 * IN, 30 * IN])
def test_a_least_length_between_two_steps_is_refused(least_nm: int) -> None:
    with pytest.raises(ByLengthError, match="no whole number of steps"):
        by_length.fewest_steps(least_nm, step_nm=FT)


@pytest.fixture
def strip(db: None) -> Material:
    """A roll of copper, 6 in wide."""
    return Material.objects.create(
        form="roll", alloy="c11000", thickness_nm=508_000, width_nm=6 * IN
    )


def given(supplier: Supplier, material: Material, **changes: str) -> dict[str, str]:
    """What somebody types for a roll at 12.50 a foot, cut by half feet from 2 ft on."""
    return {
        "supplier": str(supplier.pk),
        "material": str(material.pk),
        "size": "1 ft",
        "count": "1",
        "price_cents": "12.50",
        "from_packs": "1",
        "step_nm": "6 in",
        "least_nm": "2 ft",
    } | changes


@pytest.mark.slow
def test_a_roll_cut_to_order_is_entered_and_listed(
    as_owner: Client, supplier: Supplier, strip: Material
) -> None:
    page = as_owner.post(ADD, given(supplier, strip), follow=True)

    offer = Offer.objects.get()
    assert (offer.length_nm, offer.step_nm, offer.least_nm) == (FT, 6 * IN, 2 * FT)
    assert (offer.price_cents, offer.is_by_length) == (1250, True)
    assert "cut to order from 24 in on, in steps of 6 in" in page.text
    again = as_owner.get(f"/offers/{offer.pk}/").text
    assert 'value="6 in"' in again or 'value="6"' in again


def test_without_a_least_length_it_is_one_step(
    as_owner: Client, supplier: Supplier, strip: Material
) -> None:
    as_owner.post(ADD, given(supplier, strip, least_nm="", step_nm="1 ft"))

    assert Offer.objects.get().least_nm == FT


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"step_nm": "1 in"}, "A step of 1 in does not come to a whole price. Give steps of 6 in"),
        ({"least_nm": "20 in"}, "20 in is no whole number of steps of 6 in."),
        ({"step_nm": ""}, "Give the steps that it is cut in, such as 1 ft."),
        ({"count": "2"}, "What is cut to order comes in one length: write 1."),
        ({"from_packs": "3"}, "What is cut to order comes in one length: write 1."),
    ],
)
def test_what_cannot_be_is_refused_by_its_field(
    as_owner: Client, supplier: Supplier, strip: Material, changes: dict[str, str], sentence: str
) -> None:
    page = as_owner.post(ADD, given(supplier, strip, **changes))

    assert page.status_code == 422
    assert sentence in page.text
    assert not Offer.objects.exists()


def test_only_rolls_are_cut_to_order(
    as_owner: Client, supplier: Supplier, make_material: MakeMaterial
) -> None:
    page = as_owner.post(ADD, given(supplier, make_material()))

    assert page.status_code == 422
    assert "Only rolls are cut to order here." in page.text


def test_a_lower_price_from_a_greater_length_on_is_an_offer_of_its_own(
    as_owner: Client, supplier: Supplier, strip: Material
) -> None:
    as_owner.post(ADD, given(supplier, strip))

    twice = as_owner.post(ADD, given(supplier, strip, price_cents="11"))
    as_owner.post(ADD, given(supplier, strip, price_cents="11", least_nm="10 ft"))

    assert "from the same length on" in twice.text
    assert Offer.objects.count() == 2


@pytest.mark.parametrize(("step_nm", "least_nm"), [(IN, FT), (6 * IN, 7 * IN)])
def test_no_offer_without_a_whole_price_a_step_is_ever_kept(
    supplier: Supplier, strip: Material, step_nm: int, least_nm: int
) -> None:
    with pytest.raises(KeepingError, match="Give another step"):
        offer_writing.keep_offer(
            offer=None,
            supplier=supplier,
            material=strip,
            length_nm=FT,
            width_nm=0,
            mass_ug=0,
            count=1,
            price_cents=1250,
            from_packs=1,
            step_nm=step_nm,
            least_nm=least_nm,
        )

    assert not Offer.objects.exists()


def random_case(seed: int) -> tuple[BuyingCase, list[int]]:
    """Blanks as wide as the roll, so that they lie one behind the other; and their lengths."""
    rng = random.Random(seed)
    lengths = [rng.randint(20, 90) for _ in range(rng.randint(2, 4))]
    pieces = tuple(Rectangle(100, nm, 1, False) for nm in lengths)
    step = rng.choice([10, 25, 60])
    cents = rng.randint(40, 90) * step // 10
    breaks = (
        Break(rng.randint(1, 4), cents),
        Break(rng.randint(6, 12), cents * rng.randint(60, 95) // 100),
    )
    goods = (
        Goods("cut", "A", "copper", "by-length", breaks, length_nm=step, width_nm=100),
        Goods(
            "roll",
            rng.choice("AB"),
            "copper",
            "roll",
            (Break(1, rng.randint(900, 2500)),),
            length_nm=rng.randint(90, 400),
            width_nm=100,
        ),
        Goods(
            "sheet",
            "B",
            "copper",
            "sheet",
            (Break(1, rng.randint(300, 700)),),
            length_nm=rng.randint(90, 120),
            width_nm=100,
        ),
    )
    suppliers = tuple(
        SupplierTerms(
            name,
            days=3,
            delivery_cents=rng.choice([0, 150, 400]),
            free_from_cents=rng.choice([None, 1_200]),
            minimum_cents=rng.choice([0, 500]),
        )
        for name in ("A", "B")
    )
    return BuyingCase((SheetNeed("copper", "copper", pieces),), goods, suppliers), lengths


def holds(lengths: list[int], *, room: int, count: int) -> bool:
    """Whether blanks one behind the other fit on so many lengths of metal: every way is tried."""
    for where in itertools.product(range(count), repeat=len(lengths)):
        used = [0] * count
        for nm, number in zip(lengths, where, strict=True):
            used[number] += nm
        if max(used) <= room:
            return True
    return False


def packs_that_do(goods: Goods, lengths: list[int]) -> int:
    """The fewest packs that hold all blanks; more than are ever tried where none do."""
    if goods.form == "by-length":
        return -(-sum(lengths) // goods.length_nm)
    found = (n for n in range(1, 5) if holds(lengths, room=goods.length_nm, count=n))
    return next(found, 999)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(60))
def test_nothing_tried_by_hand_is_cheaper_than_what_is_cut_to_order(seed: int) -> None:
    case, lengths = random_case(seed)

    best = the_best(buy(case, seconds=20))

    enough = [packs_that_do(one, lengths) for one in case.goods]
    most = (60, 5, 8)  # no random case needs more, for a break, a minimum or free delivery
    tried = [
        cents
        for packs in itertools.product(*(range(top + 1) for top in most))
        if any(count >= needed for count, needed in zip(packs, enough, strict=True))
        and (cents := price_of(case, packs)) is not None
    ]
    assert best.cents == min(tried)
    bought = tuple(packs_of(best).get(one.key, 0) for one in case.goods)
    assert price_of(case, bought) == best.cents
    assert any(count >= needed for count, needed in zip(bought, enough, strict=True))
    assert best.is_proved
