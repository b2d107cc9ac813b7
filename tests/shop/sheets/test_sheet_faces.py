"""The sheet of a blade whose faces are not ground alike; figures worked by hand."""

from billets.layup.design import Blade, Design, OtherFace
from shop.sheets.blade import BladeOnPaper
from tests.billets.stacks import MM, clad, core, five, lay, line
from tests.shop.sheets.test_sheet_parts import sheet, steps_of

CHISEL = Blade(4 * MM, 30 * MM, left=OtherFace())
AT_FACE = lay(core(mm=4.0), line(mm=1.0), clad(mm=5.0), finish_mm=5.0, blade=CHISEL)


def blade_of(design: Design = AT_FACE) -> BladeOnPaper:
    blade = sheet(design).blade
    assert blade is not None
    return blade


def test_a_chisel_ground_blade_shows_both_faces_and_says_what_each_shows() -> None:
    blade = blade_of()

    # 2 mm of core at 14 mm, 2.5 at 18: 0.25 mm at the edge, 3.75 more over 30 mm.
    assert [view.side for view in blade.views] == ["right", "left"]
    assert (
        blade.size_words == "Right face flat, left face not ground, 4 mm at the spine, 30 mm high."
    )
    assert "Comes out 14 mm above the edge and ends at 18 mm" in blade.sentences[0]
    assert blade.sentences[1:] == (
        "Left face: Is not ground, and is core from edge to spine.",
        "The edge lies in the core, 2 mm from the nearest side of it, and stays in it however far "
        "it wears.",
    )


def test_faces_ground_differently_each_say_where_their_line_comes_out() -> None:
    other = OtherFace("flat", edge_off_nm=500_000)
    blade = blade_of(five(blade=Blade(4 * MM, 30 * MM, left=other)))

    # core to 1.5 on 0.125 + 2.375 y / 30, and to 0.5 on 0.125 + 1.375 y / 30
    assert "Comes out 17.4 mm above the edge" in blade.sentences[0]
    assert "Comes out 8.18 mm above the edge" in blade.sentences[1]


def test_even_faces_of_unlike_grinds_are_both_drawn() -> None:
    blade = blade_of(five(blade=Blade(4 * MM, 32 * MM, left=OtherFace("convex"))))

    assert [view.side for view in blade.views] == ["right", "left"]
    assert blade.views[0].zones[1].d != blade.views[1].zones[1].d


def test_the_steps_of_a_chisel_grind_keep_its_faces_apart() -> None:
    steps = steps_of(sheet(AT_FACE))

    assert "Write the mark on it on the side of layer 1: that face is not ground." in steps
    assert "the core stays central" not in steps
    assert "Write the mark on it." in steps_of(sheet(five()))
