"""Costs, fuel and filler against published figures and other people's code."""

import pytest
from fluids.compressible import P_critical_flow
from fluids.safety_valve import API520_A_g
from scipy import stats

from billets.layup import seam
from shop.costing import fuel
from shop.costing.seats import break_even_seats
from shop.yields.beta import beta_below, beta_quantile
from shop.yields.record import Record, share_interval
from shop.yields.spares import at_least_sound, at_least_sound_at

PSI = fuel.PA_PER_PSI
SQUARE_MM_PER_M2 = 1_000_000


def test_break_even_of_the_open_accounting_text() -> None:
    # Open accounting text, read: fixed 20 000, price 400, variable 250.
    seats = break_even_seats(fixed_cents=2_000_000, fee_cents=40_000, seat_cents=25_000)

    assert seats == 134


def test_a_half_inch_fillet_weighs_what_the_handbook_says() -> None:
    # Published filler-metal handbook, read: 0.424 lb/ft; area x 12 x 0.283 lb/in³.
    section_nm2 = seam.fillet_section_nm2(12_700_000)

    mass_ug = seam.filler_ug(
        section_nm2=section_nm2,
        seam_nm=304_800_000,
        density_kg_m3=7_833,  # 0.283 lb/in³
        deposition_percent=100,
    )

    assert mass_ug / 453_592_370 == pytest.approx(0.424, abs=0.001)


def test_propane_chokes_at_the_published_pressure() -> None:
    # Read: above about 10.8 psig with k = 1.141.
    assert fuel.chokes_above_pa() / PSI == pytest.approx(10.8, abs=0.05)


def test_the_choking_pressure_agrees_with_the_fluids_library() -> None:
    upstream_pa = 101_325 + fuel.chokes_above_pa()

    assert P_critical_flow(P=upstream_pa, k=1.141) == pytest.approx(101_325, rel=1e-9)


@pytest.mark.parametrize("psi", [2, 5, 10, 12, 20, 30])
def test_flow_through_an_orifice_agrees_with_the_fluids_library(psi: int) -> None:
    # API 520 sizing as in `fluids`, choked and subsonic; its rounded constants cost 0.1 %.
    jet = fuel.jet(orifice_mm=1.0, gauge_pa=psi * PSI, discharge=0.85)

    area_m2 = API520_A_g(
        m=jet.kg_per_s,
        T=288.15,
        Z=1.0,
        MW=44.09562,
        k=1.141,
        P1=101_325 + psi * PSI,
        P2=101_325,
        Kd=0.85,
    )

    assert area_m2 * SQUARE_MM_PER_M2 == pytest.approx(0.785_398, rel=2e-3)


def test_the_heat_of_a_pound_of_propane_is_the_published_one() -> None:
    # Read: about 21 550 Btu/lb and 91 500 Btu/US gal; the two give 4.246 lb/gal.
    jet = fuel.jet(orifice_mm=1.0, gauge_pa=10 * PSI)

    btu_per_lb = jet.watts / jet.kg_per_s / 1_055.055_852_62 * 0.453_592_37

    assert btu_per_lb == pytest.approx(21_550, rel=1e-6)
    assert 91_500 / btu_per_lb == pytest.approx(4.246, abs=0.001)


def test_ten_sound_of_thirteen_at_nine_in_ten() -> None:
    # scipy.stats.binom.sf(9, 13, 0.9) = 0.9658, read.
    probability = at_least_sound_at(10, billets=13, share=0.9)

    assert probability == pytest.approx(0.9658, abs=5e-5)
    assert probability == pytest.approx(stats.binom.sf(9, 13, 0.9), rel=1e-10)


@pytest.mark.parametrize("sound_of", [(0, 0), (3, 3), (0, 4), (27, 30), (180, 200)])
@pytest.mark.parametrize("needed_of", [(1, 1), (6, 8), (10, 13), (24, 40), (100, 140)])
def test_the_learned_case_agrees_with_scipy(
    sound_of: tuple[int, int], needed_of: tuple[int, int]
) -> None:
    sound, made = sound_of
    needed, billets = needed_of

    probability = at_least_sound(needed, billets=billets, record=Record(sound, made))

    learned = stats.betabinom(billets, sound + 0.5, made - sound + 0.5)
    assert probability == pytest.approx(learned.sf(needed - 1), abs=1e-10)


@pytest.mark.parametrize("a", [0.5, 1.5, 12.5, 180.5])
@pytest.mark.parametrize("b", [0.5, 2.5, 40.5])
@pytest.mark.parametrize("probability", [0.025, 0.05, 0.5, 0.95])
def test_the_beta_distribution_agrees_with_scipy(a: float, b: float, probability: float) -> None:
    value = beta_quantile(probability, a=a, b=b)

    assert value == pytest.approx(stats.beta.ppf(probability, a, b), abs=1e-9)
    assert beta_below(0.3, a=a, b=b) == pytest.approx(stats.beta.cdf(0.3, a, b), abs=1e-10)


@pytest.mark.parametrize(
    ("sound", "low", "high"),
    [
        (10, 0.02599340, 0.08687509),
        (20, 0.06416642, 0.14729862),
        (25, 0.08462743, 0.176126),
        (50, 0.19387268, 0.31330266),
        (80, 0.33393964, 0.46893129),
    ],
)
def test_the_interval_of_the_yield_is_the_published_one(
    sound: int, low: float, high: float
) -> None:
    # Jeffreys limits, x of 200 at 95 %: example output in the reference manual of the R package
    # RSurveillance (binom.jeffreys), read.
    found = share_interval(Record(sound, 200), confidence=0.95)

    assert [float(end) for end in found] == pytest.approx([low, high], abs=1e-6)
