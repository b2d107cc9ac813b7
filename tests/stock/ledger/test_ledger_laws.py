"""Whatever is done to the metal, in whatever order, every law of the books holds."""

from collections.abc import Callable
from datetime import date
from random import Random
from typing import Any

import pytest
from django.contrib.auth import get_user_model
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from stock.ledger import by_hand, receiving, set_asides
from stock.ledger.proof import proved
from stock.ledger.receiving import Line
from stock.ledger.refusals import LedgerError
from stock.ledger.set_asides import Promise
from stock.models import Entry, Form, Material, Piece, SetAside, Supplier

MM = 1_000_000
DAY = date(2026, 3, 2)
Numbers = tuple[int, int]
# Lengths that share no factor with anything, among them primes.
SIZES = (1, 7, 99_991, 1_000_003, 25_400_000, 314_159_265, 914_400_000, 6_000_000_011)


class Shop:
    """A rack of every form, and the acts that anybody may try on it."""

    def __init__(self) -> None:
        self.by = get_user_model().objects.create(username="orla")
        self.supplier = Supplier.objects.create(name="Marrow & Daughter Steels")
        self.materials = [
            Material.objects.create(form="flat", alloy="1084", thickness_nm=3, width_nm=31),
            Material.objects.create(form="roll", alloy="c11000", thickness_nm=5, width_nm=151_007),
            Material.objects.create(form="sheet", alloy="c11000", thickness_nm=5),
            Material.objects.create(form="wire", alloy="er70s-6", diameter_nm=9),
            Material.objects.create(form="counted", name="belts"),
        ]
        for index in range(5):
            self.receive(index, 2 * index + 1)

    def piece(self, number: int) -> Piece:
        """One of the first pieces; a gone one now and then."""
        rows = Piece.objects.order_by("pk")
        standing = rows.filter(on_hand__gt=0)
        if number and standing:
            rows = standing
        return rows[number % rows.count()]

    def receive(self, a: int, b: int) -> None:
        """A purchase of one line."""
        size = SIZES[b % len(SIZES)]
        line = Line(
            material=self.materials[a % 5],
            count=b % 3 + 1,
            price_cents=b % 10_007,
            length_nm=size,
            width_nm=size % 997_001 + 1,
            mass_ug=size,
        )
        receiving.buy(
            supplier=self.supplier, lines=[line], delivery_cents=a % 503, on=DAY, by=self.by
        )

    def cut(self, a: int, b: int) -> None:
        """A length off a bar or a roll by hand."""
        by_hand.cut_by_hand(
            piece=self.piece(a),
            length_nm=part_of(self.piece(a), b),
            kerf_nm=b % 1_000_003,
            job="a hook",
            by=self.by,
            keep_from_nm=(b % 5) * 10_000_019,
        )

    def part(self, a: int, b: int) -> None:
        """A piece parted in two."""
        piece = self.piece(a)
        whole = piece.length_nm if piece.form == Form.SHEET else piece.on_hand
        by_hand.part(piece=piece, length_nm=b % (whole + 2), kerf_nm=b % 1009, by=self.by)

    def scrap(self, a: int, b: int) -> None:
        """Some of a piece thrown away."""
        piece = self.piece(a)
        by_hand.scrap(
            piece=piece, amount=part_of(piece, b), why="bent", by=self.by, kerf_nm=b % 1009
        )

    def use(self, a: int, b: int) -> None:
        """Wire or counted things used."""
        by_hand.use(piece=self.piece(a), amount=part_of(self.piece(a), b), job="seam", by=self.by)

    def count(self, a: int, b: int) -> None:
        """A piece counted: a little less or more than the books say, or far off."""
        piece = self.piece(a)
        counted = b % (3 * piece.on_hand + 2) if b % 2 else piece.on_hand + b % 2003 - 1001
        by_hand.count_piece(piece=piece, counted=counted, why="counted", by=self.by)

    def aside(self, a: int, b: int) -> None:
        """Metal promised: a blank of a bar, or a strip with a blank and two rests."""
        piece = self.piece(a)
        size = part_of(piece, b)
        if piece.form == Form.ROLL:
            plan = strip_with_blank(piece, length_nm=size)
        else:
            plan = [
                Promise(
                    piece_id=piece.pk,
                    kind="blank",
                    amount=size,
                    job="billet:1",
                    position=1,
                    length_nm=max(size - b % 1009, 0),
                    label="K27-1",
                )
            ]
        set_asides.set_aside(plan=f"class:{b % 2}", promises=plan, by=self.by)

    def tick(self, a: int, b: int) -> None:
        """Any promise ticked, standing or not."""
        rows = SetAside.objects.order_by("pk")
        if rows:
            set_asides.tick(set_aside=rows[a % len(rows)], by=self.by)

    def cancel(self, a: int, b: int) -> None:
        """All that stands for a plan freed."""
        set_asides.free(plan=f"class:{b % 2}")

    def undo(self, a: int, b: int) -> None:
        """Any act taken back, if the books allow it."""
        acts = list(Entry.objects.order_by("id").values_list("act", flat=True))
        by_hand.undo(act=acts[a % len(acts)], by=self.by, restand=b % 2 == 0)

    def undo_last(self, a: int, b: int) -> None:
        """The latest act taken back."""
        by_hand.undo(act=Entry.objects.latest("id").act, by=self.by, restand=b % 2 == 0)

    def measure(self, a: int, b: int) -> None:
        """What is left of a sheet measured again."""
        sheet = self.piece(a)
        if sheet.form == Form.SHEET:
            sizes = [(sheet.width_nm, b % (sheet.length_nm + 1))] if b % 4 else []
            set_asides.remark_sheet(sheet=sheet, sizes=sizes, by=self.by)


def part_of(piece: Piece, number: int) -> int:
    """Some of what is free: nothing, a little, all, or a little more than all."""
    if number % 7 == 0:
        return piece.free
    return number % (piece.free + 2)


def strip_with_blank(roll: Piece, *, length_nm: int) -> list[Promise]:
    """A strip cut into a blank, an offcut that is kept, and scrap."""
    width = roll.material.width_nm
    on: dict[str, Any] = {
        "piece_id": roll.pk,
        "amount": 0,
        "length_nm": length_nm,
        "parent": 0,
        "job": "billet:2",
    }
    return [
        Promise(
            piece_id=roll.pk,
            kind="strip",
            amount=length_nm,
            job="class:0",
            position=0,
            length_nm=length_nm,
            width_nm=width,
            label="strip",
        ),
        Promise(kind="blank", position=1, width_nm=width // 2, label="blank", **on),
        Promise(kind="rest", position=2, width_nm=width // 3, is_kept=True, label="offcut", **on),
        Promise(kind="rest", position=3, width_nm=width - width // 2 - width // 3, **on),
    ]


ACTS: dict[str, Callable[[Shop, int, int], None]] = {
    "receive": Shop.receive,
    "cut": Shop.cut,
    "part": Shop.part,
    "scrap": Shop.scrap,
    "use": Shop.use,
    "count": Shop.count,
    "aside": Shop.aside,
    "tick": Shop.tick,
    "cancel": Shop.cancel,
    "undo": Shop.undo,
    "undo_last": Shop.undo_last,
    "measure": Shop.measure,
}
# The first number chooses a piece: few, so that the same one comes up again and again.
AN_ACT = st.tuples(
    st.sampled_from(sorted(ACTS)),
    st.integers(min_value=0, max_value=9),
    # Drawn as a seed: plain integers come out small far too often to be lengths.
    st.integers(min_value=0, max_value=2**32).map(lambda seed: Random(seed).randrange(10**12)),
)


def tried(shop: Shop, name: str, *numbers: int) -> bool:
    """Whether the books took an act; a refusal is always one of their own."""
    try:
        ACTS[name](shop, *numbers)
    except LedgerError:
        return False
    return True


def overdrawn() -> list[str]:
    """Marks of pieces with less than nothing, or more promised than there is."""
    return [p.mark for p in Piece.objects.all() if min(p.on_hand, p.free, p.value_cents) < 0]


SLOW = [HealthCheck.too_slow]


class TestAnyHistory(TestCase):
    """Each example starts from the same rack and is rolled back."""

    @pytest.mark.slow
    @settings(
        max_examples=60,
        deadline=None,
        suppress_health_check=SLOW,
        print_blob=True,
    )
    @given(st.lists(AN_ACT, min_size=10, max_size=40))
    def test_metal_and_money_are_conserved(self, acts: list[tuple[str, int, int]]) -> None:
        shop = Shop()

        for name, a, b in acts:
            before = Entry.objects.count()
            if not tried(shop, name, a, b):
                assert Entry.objects.count() == before, f"{name} was refused and wrote"

        assert proved().faults == ()
        assert overdrawn() == []

    @pytest.mark.slow
    @settings(max_examples=30, deadline=None, suppress_health_check=SLOW)
    @given(st.lists(AN_ACT, min_size=1, max_size=15))
    def test_all_of_it_undone_backwards_leaves_no_metal_and_no_cent(
        self, acts: list[tuple[str, int, int]]
    ) -> None:
        shop = Shop()
        for name, a, b in acts:
            if name not in ("undo", "undo_last"):
                tried(shop, name, a, b)
        set_asides.free(plan="class:0")
        set_asides.free(plan="class:1")

        written = dict.fromkeys(Entry.objects.order_by("-id").values_list("act", flat=True))
        for act in written:
            by_hand.undo(act=act, by=shop.by, restand=False)

        assert set(Piece.objects.values_list("on_hand", "value_cents", "set_aside")) == {(0, 0, 0)}
        assert proved().faults == ()
