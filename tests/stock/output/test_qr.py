"""A code holds exactly its text, with white around it, and refuses what does not fit."""

import re

import pytest
import segno

from stock.output.qr_code import QrError, qr_code


def dark_modules(d: str) -> set[tuple[int, int]]:
    """Squares that a path paints."""
    found: set[tuple[int, int]] = set()
    for x, y, wide in re.findall(r"M(\d+) (\d+)h(\d+)v1h-\d+z", d):
        found |= {(int(x) + step, int(y)) for step in range(int(wide))}
    return found


def test_a_code_paints_the_modules_of_its_text_four_modules_in() -> None:
    text = "http://anvil.local:8000/billets/K27/"

    code = qr_code(text)

    matrix = segno.make(text, error="m", micro=False).matrix
    wanted = {(x + 4, y + 4) for y, row in enumerate(matrix) for x, on in enumerate(row) if on}
    assert dark_modules(code.d) == wanted
    assert code.size == len(matrix) + 8
    assert code.view_box == f"0 0 {code.size} {code.size}"


def test_a_short_text_still_makes_a_code_that_old_phones_read() -> None:
    code = qr_code("K27")

    assert code.size == 29  # 21 modules, the smallest full code, and twice 4


def test_a_code_of_one_text_is_always_the_same() -> None:
    assert qr_code("K27") == qr_code("K27")


@pytest.mark.parametrize("text", ["", "x" * 301])
def test_a_text_that_does_not_fit_is_refused_with_its_length(text: str) -> None:
    with pytest.raises(QrError) as refused:
        qr_code(text)

    assert refused.value.given == text
    assert f"was given {len(text)}" in str(refused.value)


def test_the_longest_text_in_any_script_fits() -> None:
    code = qr_code("锻" * 300)  # 900 bytes: version 24 at level M holds 911

    assert code.size == 113 + 8
