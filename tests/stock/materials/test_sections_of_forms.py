"""Which sizes each form of metal has."""

import pytest

from stock.materials.sections import Section, SectionError, section_of

MM = 1_000_000


@pytest.mark.parametrize(
    ("form", "sizes", "section"),
    [
        ("flat", [3 * MM, 32 * MM], Section(thickness_nm=3 * MM, width_nm=32 * MM)),
        ("flat", [32 * MM, 3 * MM], Section(thickness_nm=3 * MM, width_nm=32 * MM)),
        ("roll", [MM // 2, 150 * MM], Section(thickness_nm=MM // 2, width_nm=150 * MM)),
        ("sheet", [MM], Section(thickness_nm=MM)),
        ("round", [20 * MM], Section(diameter_nm=20 * MM)),
        ("wire", [MM], Section(diameter_nm=MM)),
        ("counted", [], Section()),
    ],
)
def test_each_form_names_its_sizes(form: str, sizes: list[int], section: Section) -> None:
    assert section_of(form, sizes) == section


@pytest.mark.parametrize(
    ("form", "sizes", "told"),
    [
        ("flat", [MM], "That is one size; this form needs thickness × width"),
        ("flat", [MM, MM, MM], "That is 3 sizes"),
        ("round", [MM, MM], "needs diameter, such as 3/4 in."),
        ("sheet", [MM, MM], "needs thickness"),
    ],
)
def test_a_wrong_number_of_sizes_says_what_is_wanted(
    form: str, sizes: list[int], told: str
) -> None:
    with pytest.raises(SectionError, match=told) as refused:
        section_of(form, sizes)

    assert (refused.value.form, refused.value.given) == (form, len(sizes))
