"""Reorder levels of sheets by area, and of rolls with the sheets that came off them."""

import pytest

from stock.house import House
from stock.materials.matching import is_worth_keeping, roll_length_nm
from stock.materials.names import usable_areas
from stock.models import Material, Piece
from stock.quantities.areas import area_field_text, area_nm2
from stock.quantities.typed_text import UnitsError
from tests.kinds import Client, MakeMaterial, MakePiece
from tests.stock.reading import read

IN = 25_400_000
FT2 = 92_903_040_000_000_000


@pytest.mark.parametrize(
    ("text", "unit", "area"),
    [
        ("2 ft²", "in", 185_806_080_000_000_000),
        ("2 sq ft", "mm", 185_806_080_000_000_000),
        ("1 1/2 sq. ft", "in", 139_354_560_000_000_000),
        ("144 in2", "in", FT2),
        ("12 x 24 in", "mm", 185_806_080_000_000_000),
        ("12 × 24", "in", 185_806_080_000_000_000),
        ("0.25 m²", "in", 250_000_000_000_000_000),
        ("600 cm^2", "in", 60_000_000_000_000_000),
        ("100 × 200 mm", "in", 20_000_000_000_000_000),
    ],
)
def test_an_area_is_read_in_whole_square_nanometres(text: str, unit: str, area: int) -> None:
    assert area_nm2(text, unit=unit) == area


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("lots", "not an area we know"),
        ("3 in", "not an area we know"),
        ("2", "not an area we know"),
        ("0 ft²", "not above 0"),
        ("10 m²", "above 9 m²"),
        ("1 x 2 x 3 in", "has 3 sizes"),
        ("-2 ft²", "is below 0"),
        ("", "Nothing was written"),
    ],
)
def test_what_is_no_area_is_refused_with_a_sentence(text: str, sentence: str) -> None:
    with pytest.raises(UnitsError, match=sentence):
        area_nm2(text, unit="in")


@pytest.mark.parametrize(
    ("area", "system", "text"),
    [
        (2 * FT2, "inch", "2 ft²"),
        (FT2 * 3 // 2, "inch", "1.5 ft²"),
        (7 * FT2 // 144, "inch", "7 in²"),
        (250_000_000_000_000_000, "metric", "0.25 m²"),
        (645_160_000_000_000, "metric", "6.4516 cm²"),
        (1_000_000_000_001, "metric", "1.000000000001 mm²"),
    ],
)
def test_an_area_is_shown_so_that_it_reads_back_exactly(area: int, system: str, text: str) -> None:
    assert area_field_text(area, system=system) == text
    assert area_nm2(text, unit="in") == area


def test_an_offcut_is_kept_by_its_long_side_and_a_quarter_of_that_across() -> None:
    assert is_worth_keeping(25, length_nm=100, keep_from_nm=100)
    assert not is_worth_keeping(24, length_nm=100, keep_from_nm=100)
    assert not is_worth_keeping(99, length_nm=99, keep_from_nm=100)


def test_sheets_are_a_length_of_roll_by_their_area() -> None:
    # 8 x 12 in and 6 x 6 in are 132 in²: 22 in of a roll that is 6 in wide.
    assert roll_length_nm(132 * IN * IN, width_nm=6 * IN) == 22 * IN


@pytest.fixture
def copper_sheet(make_material: MakeMaterial) -> Material:
    """Sheets of copper, 0.020 in."""
    made: Material = make_material(form="sheet", alloy="c11000", thickness_nm=508_000, width_nm=0)
    return made


@pytest.fixture
def roll(make_piece: MakePiece, make_material: MakeMaterial) -> Piece:
    """60 in of the same copper, 6 in wide."""
    strip = make_material(form="roll", alloy="c11000", thickness_nm=508_000, width_nm=6 * IN)
    made: Piece = make_piece(material=strip, length_nm=60 * IN, price_cents=9000)
    return made


def lay_down(make_piece: MakePiece, material: Material, *, width: int, length: int) -> Piece:
    """A sheet on the rack, sides in inches."""
    made: Piece = make_piece(
        material=material, width_nm=width * IN, length_nm=length * IN, price_cents=1000
    )
    return made


@pytest.mark.django_db
def test_usable_sheets_are_whole_free_and_worth_keeping(
    make_piece: MakePiece, copper_sheet: Material
) -> None:
    lay_down(make_piece, copper_sheet, width=6, length=8)
    lay_down(make_piece, copper_sheet, width=1, length=2)  # too small for 3 in
    promised = lay_down(make_piece, copper_sheet, width=6, length=9)
    Piece.objects.filter(pk=promised.pk).update(set_aside=1)
    part_cut = lay_down(make_piece, copper_sheet, width=6, length=10)
    Piece.objects.filter(pk=part_cut.pk).update(on_hand=1)

    found = usable_areas(house=House(keep_from_nm=3 * IN))

    assert found == {copper_sheet.pk: 48 * IN * IN}


@pytest.mark.django_db
def test_a_level_of_sheets_is_typed_as_an_area_and_shown_again(
    as_owner: Client, copper_sheet: Material
) -> None:
    typed = {
        "form": "sheet",
        "alloy": "c11000",
        "section": "0.02 in",
        "gauge": "",
        "name": "",
        "keep_from_nm": "",
        "reorder": "12 x 24 in",
        "note": "",
    }

    as_owner.post(f"/materials/{copper_sheet.pk}/", typed)

    copper_sheet.refresh_from_db()
    assert copper_sheet.reorder_below == 2 * FT2
    assert 'value="2 ft²"' in as_owner.get(f"/materials/{copper_sheet.pk}/").text


@pytest.mark.django_db
@pytest.mark.parametrize(("level", "is_low"), [(48, False), (49, True)])
def test_sheets_below_their_level_are_marked_low(
    as_owner: Client, make_piece: MakePiece, copper_sheet: Material, level: int, is_low: bool
) -> None:
    lay_down(make_piece, copper_sheet, width=6, length=8)
    Material.objects.filter(pk=copper_sheet.pk).update(reorder_below=level * IN * IN)

    page = read(as_owner.get("/materials/").content)

    assert ("low" in page.select_one("tbody tr").text) == is_low


@pytest.mark.django_db
@pytest.mark.parametrize(("level", "is_low"), [(68, False), (69, True)])
def test_a_roll_is_low_only_with_its_sheets_counted(
    as_owner: Client,
    make_piece: MakePiece,
    copper_sheet: Material,
    roll: Piece,
    level: int,
    is_low: bool,
) -> None:
    # 60 in of roll, and a sheet of 6 x 8 in, which is 8 in of a roll 6 in wide.
    lay_down(make_piece, copper_sheet, width=6, length=8)
    Material.objects.filter(pk=roll.material_id).update(reorder_below=level * IN)

    page = read(as_owner.get("/materials/").content)

    row = next(one for one in page.select("tbody tr") if "roll" in one.text)
    assert "and 8 in as sheets" in row.text
    assert ("low" in row.text) == is_low
