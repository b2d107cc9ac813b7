"""The demo shop's rack: what was bought, from whom, for how much. All of it invented."""

from __future__ import annotations

from datetime import date

from shop.demo.people import Days
from stock import clock
from stock.ledger import by_hand, receiving
from stock.models import Form, Material, Offer, Piece, Saw, Supplier
from stock.who import Person

IN = 25_400_000
MM = 1_000_000
LB = 453_592_370

STEELS = "Marrow & Daughter Steels"
COPPER = "Ostler Sheet Copper"
SUNDRIES = "Three Ferries Welding Supply"
NEARER = "Quillfeather Bar & Plate"


def set_up() -> None:
    """Saws, and who sells metal."""
    Saw.objects.create(name="bandsaw", kerf_nm=1_100_000, is_usual=True)
    Saw.objects.create(name="abrasive disc", kerf_nm=2 * MM)
    Saw.objects.create(name="shears", kerf_nm=0)
    suppliers()


def stock_first(*, by: Person, days: Days) -> None:
    """Just what the first class wants for."""
    lines = [
        bars(cladding(), 3, 72 * IN, 4590, "H4310", "rack 1"),
        bars(core(), 2, 48 * IN, 6320, "B2107", "rack 2"),
    ]
    copper = Line(material=roll(), count=1, length_nm=36 * IN, price_cents=5250, place="shelf A")
    spool = Line(material=wire(), count=1, mass_ug=11 * LB, price_cents=4390, place="welder")
    with clock.as_of(days.at(-160)):
        buy(STEELS, lines, delivery_cents=2850, by=by, on=days.on(-160))
        buy(COPPER, [copper], delivery_cents=1900, by=by, on=days.on(-160))
        buy(SUNDRIES, [spool], delivery_cents=700, by=by, on=days.on(-160))


def stock_rack(*, by: Person, days: Days) -> None:
    """Four purchases of metal and what else happens to a rack; what suppliers sell now."""
    with clock.as_of(days.at(-110)):
        buy_steel(by=by, days=days)
    with clock.as_of(days.at(-108)):
        buy_copper(by=by, days=days)
    with clock.as_of(days.at(-105)):
        buy_sundries(by=by, days=days)
    with clock.as_of(days.at(-21)):
        buy_again(by=by, days=days)
    tidy_up(by=by, days=days)
    offers()
    levels()


def suppliers() -> None:
    """Four invented suppliers."""
    Supplier.objects.create(
        name=STEELS, days_to_deliver=6, delivery_cents=2850, minimum_order_cents=4000
    )
    Supplier.objects.create(
        name=COPPER, days_to_deliver=9, delivery_cents=1900, free_delivery_from_cents=25000
    )
    Supplier.objects.create(name=SUNDRIES, days_to_deliver=2, delivery_cents=700)
    Supplier.objects.create(name=NEARER, days_to_deliver=3, delivery_cents=1450)


def flat(alloy: str, thickness_nm: int, width_nm: int) -> Material:
    """A flat bar material, made once."""
    return Material.objects.get_or_create(
        form=Form.FLAT,
        alloy=alloy,
        thickness_nm=thickness_nm,
        width_nm=width_nm,
        name="",
        diameter_nm=0,
    )[0]


def cladding() -> Material:
    """1018, 1/8 x 1-1/4 in."""
    return flat("1018", IN // 8, IN + IN // 4)


def core() -> Material:
    """1095, 3/16 x 1-1/4 in."""
    return flat("1095", IN * 3 // 16, IN + IN // 4)


def jacket() -> Material:
    """15N20, 1.5 x 32 mm."""
    return flat("15n20", 1_500_000, 32 * MM)


def simple() -> Material:
    """1084, 1/8 x 1-1/4 in."""
    return flat("1084", IN // 8, IN + IN // 4)


def roll() -> Material:
    """Tough-pitch copper roll, 16 oz, 12 in wide."""
    return Material.objects.get_or_create(
        form=Form.ROLL,
        alloy="c11000",
        thickness_nm=548_640,
        width_nm=12 * IN,
        name="",
        diameter_nm=0,
        defaults={"gauge": "copper-oz"},
    )[0]


def sheet(alloy: str, thickness_nm: int) -> Material:
    """Sheet offcuts of an alloy."""
    return Material.objects.get_or_create(
        form=Form.SHEET,
        alloy=alloy,
        thickness_nm=thickness_nm,
        name="",
        width_nm=0,
        diameter_nm=0,
    )[0]


def wire() -> Material:
    """Filler wire, 0.030 in."""
    return Material.objects.get_or_create(
        form=Form.WIRE, alloy="er70s-6", diameter_nm=762_000, name="", thickness_nm=0, width_nm=0
    )[0]


def counted(name: str) -> Material:
    """A counted thing."""
    return Material.objects.get_or_create(
        form=Form.COUNTED, alloy="", name=name, thickness_nm=0, width_nm=0, diameter_nm=0
    )[0]


Line = receiving.Line


def bars(material: Material, count: int, length_nm: int, cents: int, lot: str, place: str) -> Line:
    """A line of like bars."""
    return Line(
        material=material,
        count=count,
        length_nm=length_nm,
        price_cents=cents,
        heat_lot=lot,
        place=place,
    )


def buy(name: str, lines: list[Line], *, delivery_cents: int, by: Person, on: date) -> list[Piece]:
    """One purchase, received at once."""
    return receiving.buy(
        supplier=Supplier.objects.get(name=name),
        lines=lines,
        delivery_cents=delivery_cents,
        on=on,
        by=by,
    )


def buy_steel(*, by: Person, days: Days) -> None:
    """The steel order of the winter."""
    lines = [
        bars(cladding(), 6, 72 * IN, 9480, "H4471", "rack 1"),
        bars(core(), 4, 48 * IN, 13120, "B2210", "rack 2"),
        bars(jacket(), 3, 1000 * MM, 5610, "N0938", "rack 2"),
        bars(simple(), 3, 48 * IN, 5460, "S1187", "rack 1"),
        bars(flat("80crv2", 3_200_000, 32 * MM), 2, 1200 * MM, 4480, "V3302", "rack 3"),
        bars(flat("52100", IN // 4, IN + IN // 2), 1, 36 * IN, 3290, "C0771", "rack 3"),
    ]
    buy(STEELS, lines, delivery_cents=2850, by=by, on=days.on(-110))


def buy_copper(*, by: Person, days: Days) -> None:
    """The roll, and offcuts bought by weight."""
    copper = 548_640
    lines = [
        Line(material=roll(), count=1, length_nm=36 * IN, price_cents=5400, place="shelf A"),
        Line(
            material=sheet("c11000", copper),
            count=2,
            width_nm=8 * IN,
            length_nm=10 * IN,
            price_cents=2240,
            place="shelf A",
        ),
        Line(
            material=sheet("c71500", 508_000),
            count=1,
            width_nm=12 * IN,
            length_nm=24 * IN,
            price_cents=6150,
            place="shelf A",
        ),
    ]
    buy(COPPER, lines, delivery_cents=1900, by=by, on=days.on(-108))


def buy_sundries(*, by: Person, days: Days) -> None:
    """Wire, belts, pins, bar ends to hold billets by."""
    lines = [
        Line(material=wire(), count=2, mass_ug=11 * LB, price_cents=8980, place="welder"),
        Line(
            material=counted("belt 2 x 72 in, 60 grit"), count=30, price_cents=16500, place="bench"
        ),
    ]
    lines += [
        Line(material=counted(name), count=count, price_cents=cents, place="bench")
        for name, count, cents in (
            ("belt 2 x 72 in, 220 grit", 20, 11400),
            ("brass pin 1/8 x 6 in", 24, 3120),
            ("handle scales, walnut, pair", 12, 13800),
        )
    ]
    buy(SUNDRIES, lines, delivery_cents=700, by=by, on=days.on(-105))


def buy_again(*, by: Person, days: Days) -> None:
    """Metal for the class to come."""
    lines = [
        bars(cladding(), 4, 72 * IN, 6480, "H5102", "rack 1"),
        bars(core(), 2, 48 * IN, 6740, "B2398", "rack 2"),
        bars(flat("1080", IN // 8, IN + IN // 4), 2, 36 * IN, 2480, "S1240", "rack 1"),
    ]
    buy(STEELS, lines, delivery_cents=2850, by=by, on=days.on(-21))


def tidy_up(*, by: Person, days: Days) -> None:
    """Ordinary life of a rack: a bar parted, a count that was off, a bent end scrapped."""
    bent = Piece.objects.filter(material=simple()).order_by("id")[0]
    with clock.as_of(days.at(-100)):
        by_hand.scrap(piece=bent, amount=5 * IN, why="bent in the rack", by=by)
    long = Piece.objects.filter(material__alloy="80crv2").order_by("id")[0]
    with clock.as_of(days.at(-95)):
        by_hand.part(piece=long, length_nm=400 * MM, kerf_nm=1_100_000, by=by, why="to fit the van")
    belts = Piece.objects.get(material=counted("belt 2 x 72 in, 60 grit"))
    with clock.as_of(days.at(-60)):
        by_hand.count_piece(piece=belts, counted=27, why="counted at the quarter", by=by)


def offers() -> None:
    """What the suppliers sell now, price breaks as rows of their own."""
    for name, material, length_nm, cents, from_packs in (
        (STEELS, cladding(), 72 * IN, 1640, 1),
        (STEELS, cladding(), 36 * IN, 920, 1),
        (STEELS, core(), 48 * IN, 3390, 1),
        (STEELS, core(), 48 * IN, 3090, 4),
        (STEELS, jacket(), 1000 * MM, 1920, 1),
        (STEELS, simple(), 48 * IN, 1850, 1),
        (NEARER, cladding(), 72 * IN, 1890, 1),
        (NEARER, jacket(), 500 * MM, 1130, 1),
        (NEARER, core(), 36 * IN, 2790, 1),
        (COPPER, roll(), 120 * IN, 17400, 1),
        (COPPER, roll(), 60 * IN, 9350, 1),
    ):
        Offer.objects.create(
            supplier=Supplier.objects.get(name=name),
            material=material,
            length_nm=length_nm,
            price_cents=cents,
            from_packs=from_packs,
        )
    copper, sundries = Supplier.objects.get(name=COPPER), Supplier.objects.get(name=SUNDRIES)
    Offer.objects.create(
        supplier=copper,
        material=sheet("c11000", 548_640),
        width_nm=12 * IN,
        length_nm=24 * IN,
        price_cents=4150,
    )
    Offer.objects.create(supplier=sundries, material=wire(), mass_ug=11 * LB, price_cents=4590)
    Offer.objects.create(
        supplier=sundries, material=counted("belt 2 x 72 in, 60 grit"), count=10, price_cents=5600
    )


def levels() -> None:
    """What is to be bought again before it runs out."""
    for material, below in (
        (core(), 120 * IN),
        (wire(), 15 * LB),
        (counted("belt 2 x 72 in, 60 grit"), 30),
    ):
        Material.objects.filter(pk=material.pk).update(reorder_below=below)


def spool() -> Piece:
    """The spool on the welder."""
    return Piece.objects.filter(material=wire()).standing().order_by("id")[0]
