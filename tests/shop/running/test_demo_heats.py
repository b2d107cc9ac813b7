"""The demo's written heats are such as a bar can have."""

from __future__ import annotations

import pytest

from billets.forging.forecast import forecast
from billets.heat.section_cooling import section_cooling
from billets.layup.case import case_of
from billets.models import Heat
from shop.demo import make
from shop.models import ShopSettings
from stock import clock
from stock.models import alloy_book


@pytest.mark.slow
@pytest.mark.django_db
def test_no_heat_of_the_demo_is_longer_than_its_corner_lasts() -> None:
    make.make(today=clock.today())
    house = ShopSettings.objects.get().house(person=None)
    heats = list(Heat.objects.select_related("billet"))

    for heat in heats:
        case = case_of(heat.billet.design(), alloys=alloy_book(), house=house)
        lines = forecast(case).lines
        line = lines[min(heat.number, len(lines)) - 1]
        assert heat.temperature_mdegc is not None
        assert case.window.floor_c is not None
        lasts = section_cooling(
            heat.temperature_mdegc / 1000,
            end_c=case.window.floor_c,
            thickness_mm=line.stop_mm,
            width_mm=line.width_mm,
        )
        assert heat.seconds is not None
        assert 5 <= heat.seconds <= lasts.corner_s
    assert len(heats) > 50
