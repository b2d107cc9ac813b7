"""Measured billets: what they say about loss and spread, and which are questioned."""

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import constants, stats

from billets.errors import CalibrationError
from billets.forging.calibration import (
    MAD_TO_SIGMA,
    Calibration,
    Measured,
    calibrate,
    calibrated,
    own_figures,
    predicted_size_mm,
    question_about,
    why_left_out,
)
from billets.forging.drawout import Block
from billets.forging.forecast import method_of
from billets.forging.press import KGF_MM2_TO_MPA
from billets.forging.schedule import Method, stages, stops_mm
from stock.house import House

CROP = 0.04


def made(
    *,
    loss: float,
    spread: float,
    mark: str = "B1",
    heats: int = 8,
    start: Block | None = None,
    finish_mm: float = 4.8,
    longer: float = 1.0,
) -> Measured:
    """A billet that came out exactly as a loss and a spread say, or that much longer."""
    stack = start or Block(150, 32, 10)
    kept = (1 - loss) ** heats
    width_mm = stack.width_mm * (stack.thickness_mm / finish_mm * kept) ** spread
    volume_mm3 = stack.volume_mm3 * kept * (1 - CROP)
    length_mm = volume_mm3 / (width_mm * finish_mm) * longer
    return Measured(mark, stack, heats, Block(length_mm, width_mm, finish_mm))


def batch(count: int, *, loss: float = 0.01, spread: float = 0.3) -> list[Measured]:
    """Billets of different sizes and heats, all alike in loss and spread."""
    return [
        made(
            loss=loss,
            spread=spread,
            mark=f"B{number}",
            heats=5 + number % 4,
            start=Block(140 + 5 * number, 28 + number, 9 + number % 3),
            finish_mm=4.2 + 0.2 * (number % 4),
        )
        for number in range(count)
    ]


def noisy(count: int, *, scatter: float, seed: int = 4) -> list[Measured]:
    """Billets measured with a scatter in length and width; the same from run to run."""
    chance = random.Random(seed)
    billets = []
    for one in batch(count):
        width_mm = one.finish.width_mm * (1 + chance.gauss(0, scatter))
        length_mm = one.finish.length_mm * (1 + chance.gauss(0, scatter))
        finish = Block(length_mm, width_mm, one.finish.thickness_mm)
        billets.append(Measured(one.mark, one.start, one.heats, finish))
    return billets


def test_one_billets_figures_by_hand() -> None:
    # Kept 0.9604 in two heats without cropping: 0.98 a heat. Thinned 2 x 0.9604 = 1.9208;
    # widened 1.177255 = 1.9208^0.25. Of 30 000 mm³, 28 812 mm³ / (35.3177 x 5) = 163.159.
    one = Measured("B1", Block(100, 30, 10), 2, Block(163.1592, 35.31765, 5))

    own = own_figures(one, crop_ratio=0.0)

    assert own.loss_ratio == pytest.approx(0.02, abs=1e-5)
    assert own.spread == pytest.approx(0.25, abs=1e-4)


@given(st.floats(0, 0.05), st.floats(-0.1, 0.8), st.integers(5, 20))
def test_without_scatter_loss_and_spread_are_found_again(
    loss: float, spread: float, count: int
) -> None:
    found = calibrate(batch(count, loss=loss, spread=spread), crop_ratio=CROP)

    assert found.loss_ratio == pytest.approx(loss, abs=1e-9)
    assert found.spread == pytest.approx(spread, abs=1e-9)
    assert found.loss_scatter == pytest.approx(0, abs=1e-9)
    assert found.most_off_ratio == pytest.approx(0, abs=1e-9)


@given(st.floats(0, 0.05), st.floats(0.05, 0.7))
def test_the_schedule_does_with_the_figures_what_they_were_found_from(
    loss: float, spread: float
) -> None:
    stack, method = Block(150, 32, 10), Method(loss_ratio=loss, spread=spread, crop_ratio=CROP)
    rows = stages(
        stack,
        layers_mm=(10.0,),
        stops=stops_mm(10, finish_mm=4.8, method=method),
        spread=spread,
        method=method,
    )
    last = rows[-1].after

    own = own_figures(
        Measured("B1", stack, len(rows), Block(last.length_mm * (1 - CROP), last.width_mm, 4.8)),
        crop_ratio=CROP,
    )

    assert own.loss_ratio == pytest.approx(loss, abs=1e-9)
    assert own.spread == pytest.approx(spread, abs=1e-9)


@settings(max_examples=40)
@given(st.floats(1.15, 3.0), st.integers(5, 15))
def test_one_wild_billet_moves_nothing(times: float, count: int) -> None:
    wild = made(loss=0.03, spread=0.55, mark="WILD")

    found = calibrate([*batch(count), wild], crop_ratio=CROP)

    assert found.loss_ratio == pytest.approx(0.01, abs=1e-9)
    assert found.spread == pytest.approx(0.3, abs=1e-9)
    assert [one.mark for one in found.residuals if one.is_far] == ["WILD"]


def test_a_finish_longer_than_the_metal_is_questioned_in_the_shops_units() -> None:
    # All of 150 x 32 x 10 = 48 000 mm³ at 38.1 x 5.08 mm is 248.0 mm long; 300 is 21 % more.
    one = Measured("K7", Block(150, 32, 10), 8, Block(300, 38.1, 5.08))

    question = question_about(one)

    assert question is not None
    assert "all the metal of the stack is 248 mm long" in question.sentence("metric")
    assert "300 mm was typed in, 21.0 % more" in question.sentence("metric")
    assert "K7: at 1.500 in wide and 0.200 in thick" in question.sentence("inch")
    assert "Measure again, or confirm" in question.sentence("inch")


def test_a_finish_with_half_its_metal_gone_is_questioned() -> None:
    one = Measured("K7", Block(150, 32, 10), 8, Block(100, 38, 5))

    question = question_about(one)

    assert question is not None
    assert "only 39.6 % of the stack's metal" in question.sentence("metric")


def test_an_ordinary_finish_is_not_questioned() -> None:
    assert question_about(made(loss=0.01, spread=0.3)) is None


def test_a_stranger_is_left_out_with_a_note_and_changes_nothing() -> None:
    stranger = made(loss=0.01, spread=0.3, mark="STRANGE", longer=1.3)

    found = calibrate([*batch(6), stranger], crop_ratio=CROP)

    assert found.billets == 6
    assert found.loss_ratio == pytest.approx(0.01, abs=1e-9)
    assert [(one.mark, one.why) for one in found.left_out] == [
        ("STRANGE", "left out: finished with more metal than the stack had")
    ]


@pytest.mark.parametrize(
    ("measured", "why"),
    [
        (Measured("B", Block(150, 32, 10), 0, Block(250, 36, 5)), "heats were not counted"),
        (Measured("B", Block(150, 32, 10), 3, Block(150, 32, 9.8)), "hardly drawn"),
        (Measured("B", Block(150, 32, 10), 3, Block(90, 32, 5)), "less than half"),
    ],
)
def test_billets_that_say_nothing_are_left_out(measured: Measured, why: str) -> None:
    assert why in why_left_out(measured)
    with pytest.raises(CalibrationError, match=why):
        own_figures(measured, crop_ratio=CROP)
    assert calibrate([measured], crop_ratio=CROP).billets == 0


def test_four_billets_are_not_used_yet_and_five_are() -> None:
    four, five = (calibrate(batch(count), crop_ratio=CROP) for count in (4, 5))

    assert not four.is_used
    assert "4 of 5 measured billets so far" in four.trust
    assert five.is_used
    assert "Rests on 5 measured billets" in five.trust


def test_no_billets_at_all_say_so() -> None:
    none = calibrate([], crop_ratio=CROP)

    assert not none.is_used
    assert none.residuals == ()
    assert none.eight_in_ten_ratio == 0
    assert "0 of 5" in none.trust


def test_predictions_use_the_shops_own_figures_from_five_on() -> None:
    method = Method()
    four, five = (calibrate(batch(count), crop_ratio=CROP) for count in (4, 5))

    assert calibrated(method, calibration=None) == method
    assert calibrated(method, calibration=four) == method
    own = calibrated(method, calibration=five)
    assert own.loss_ratio == pytest.approx(0.01, abs=1e-9)
    assert own.spread == pytest.approx(0.3, abs=1e-9)
    assert method_of(House(), calibration=five).spread == own.spread


def test_a_shop_that_crops_less_than_it_says_is_told() -> None:
    # Made without any loss, then 2 % longer: less is gone than the 4 % set for cropping.
    billets = [made(loss=0.0, spread=0.3, mark=f"B{number}", longer=1.02) for number in range(6)]

    found = calibrate(billets, crop_ratio=CROP)

    assert found.loss_ratio < 0
    assert "lose less than is set for cropping" in found.trust
    assert calibrated(Method(), calibration=found).loss_ratio == 0


def test_each_billet_is_predicted_from_the_others() -> None:
    billets = batch(6)

    found = calibrate(billets, crop_ratio=CROP)

    for one, residual in zip(billets, found.residuals, strict=True):
        assert residual.mark == one.mark
        assert residual.length_mm == one.finish.length_mm
        assert residual.predicted_length_mm == pytest.approx(one.finish.length_mm, rel=1e-9)
        assert residual.predicted_width_mm == pytest.approx(one.finish.width_mm, rel=1e-9)


def test_predicted_size_by_hand() -> None:
    # One heat, a tenth lost, no cropping, no spread: 150 x 32 x 10 x 0.9 / (32 x 5) = 270.
    one = Measured("B1", Block(150, 32, 10), 1, Block(200, 33, 5))
    own = own_figures(made(loss=0.1, spread=0.0, heats=1), crop_ratio=CROP)

    length_mm, width_mm = predicted_size_mm(one, own=own, crop_ratio=0.0)

    assert length_mm == pytest.approx(270)
    assert width_mm == pytest.approx(32)


def test_scatter_is_felt_and_said() -> None:
    quiet = calibrate(noisy(20, scatter=0.002), crop_ratio=CROP)
    loud = calibrate(noisy(20, scatter=0.02), crop_ratio=CROP)

    assert loud.loss_scatter > quiet.loss_scatter > 0
    assert loud.eight_in_ten_ratio > quiet.eight_in_ten_ratio
    assert loud.most_off_ratio >= loud.eight_in_ten_ratio
    assert quiet.loss_ratio == pytest.approx(0.01, abs=0.002)
    assert quiet.spread == pytest.approx(0.3, abs=0.02)


def test_trust_grows_with_billets() -> None:
    few = calibrate(noisy(6, scatter=0.01), crop_ratio=CROP)
    many = calibrate(noisy(12, scatter=0.01), crop_ratio=CROP)

    assert "Fewer than 10" in few.trust
    assert "Fewer than 10" not in many.trust
    assert "eight in ten came out within" in many.trust


def test_eight_in_ten_stay_within_what_is_said() -> None:
    found: Calibration = calibrate(noisy(20, scatter=0.02), crop_ratio=CROP)

    within = [one for one in found.residuals if abs(one.length_ratio) <= found.eight_in_ten_ratio]

    assert len(within) == 16


def test_constants_are_the_ones_scipy_has() -> None:
    assert MAD_TO_SIGMA.value == pytest.approx(1 / stats.norm.ppf(0.75), rel=1e-4)
    assert KGF_MM2_TO_MPA.value == pytest.approx(constants.kgf)


def test_order_does_not_matter() -> None:
    billets = noisy(9, scatter=0.01)

    forwards = calibrate(billets, crop_ratio=CROP)
    backwards = calibrate(billets[::-1], crop_ratio=CROP)

    assert forwards.loss_ratio == backwards.loss_ratio
    assert forwards.spread == backwards.spread
