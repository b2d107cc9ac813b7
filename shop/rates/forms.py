"""The form of a rate sheet: what the shop pays, in the units on its bills, and its usual times."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from django import forms

from shop.costing import fuel
from shop.costing.rate_values import (
    MACHINES,
    UG_PER,
    ml_per_minute,
    ml_per_unit,
    pa_per_unit,
    power_scale,
    weight_unit_of,
)
from shop.models import Person
from shop.words.fields import MinutesField, NumberField
from stock.house import House
from stock.quantities.named_values import FieldValues
from stock.web.fields import DayField, HouseForm, LengthField, MoneyField, use_house

SECONDS_PER_MINUTE = 60
TIMES = ("cut_s", "clean_s", "weld_s", "finish_s", "heat_s", "arc_s")
MONEY = (
    "labour_cents_per_hour", "overhead_cents_per_hour", "fuel_cents", "shielding_cents",
    "filler_cents", "billet_consumables_cents", "knife_consumables_cents", "card_fixed_cents",
    "salvage_cents",
)  # fmt: skip


class RatesForm(HouseForm):
    """One sheet; empty fields count as nothing."""

    from_date = DayField(label="These hold from")
    note = forms.CharField(label="Why they change", max_length=200, required=False)
    labour_cents_per_hour = MoneyField(label="Labour, an hour", required=False)
    overhead_cents_per_hour = MoneyField(
        label="Overhead, an hour at work",
        required=False,
        help_text="Rent, insurance, tools: a year of it over the hours worked in a year.",
    )
    weight_unit = forms.ChoiceField(
        label="Propane and wire are weighed in", choices=[("lb", "pounds"), ("kg", "kilograms")]
    )
    fuel_cents = MoneyField(label="Propane, each lb or kg", required=False)
    burn_rate = NumberField(
        label="The forge burns, lb or kg an hour",
        most=200,
        help_text="Weigh the cylinder before and after an hour.",
    )
    orifice_nm = LengthField(
        label="or the burner's orifice",
        style="thou",
        required=False,
        help_text="Its diameter, where the burn rate is not known.",
    )
    pressure = NumberField(most=150, help_text="At the regulator.")
    burners = NumberField(label="Burners lit", most=12, places=0)
    power_price = NumberField(label="Power, 1 kWh", most=1000, places=5)
    shielding_cents = MoneyField(label="Shielding gas, a cylinder", required=False)
    shielding_volume = NumberField()
    shielding_flow = NumberField(most=500)
    filler_cents = MoneyField(label="Filler wire, each lb or kg", required=False)
    billet_consumables_cents = MoneyField(
        label="Consumables, a billet", required=False, help_text="Discs, wire wheels, soapstone."
    )
    knife_consumables_cents = MoneyField(
        label="Consumables, a knife", required=False, help_text="Belts, etchant, epoxy."
    )
    salvage_cents = MoneyField(
        label="What a failed billet is still worth",
        required=False,
        help_text="As scrap, or as steel to use again. Counted as no more than the billet costs.",
    )
    card_fee = NumberField(label="Card fee, %", most=50, places=2)
    card_fixed_cents = MoneyField(label="and for each payment", required=False)
    tax = NumberField(label="Sales tax or VAT, %", most=50, places=2)
    shows_tax = forms.BooleanField(label="Show prices with tax as well", required=False)
    cut_s = MinutesField(label="Cut")
    clean_s = MinutesField(label="Clean")
    weld_s = MinutesField(label="Weld shut")
    finish_s = MinutesField(label="Finish")
    heat_s = MinutesField(label="One heat, minutes", help_text="Fire and press together.")
    arc_s = MinutesField(label="Arc on, minutes a billet", help_text="While the gas flows.")
    in_the_fire_together = NumberField(label="Billets in the fire together", most=50, places=0)

    def __init__(self, *args: Any, people: Iterable[Person], **kwargs: Any) -> None:
        self.people = list(people)
        super().__init__(*args, **kwargs)
        for person in self.people:
            self.fields[f"person_{person.pk}"] = MoneyField(
                label=f"{person}, an hour", required=False
            )
        for key, word in MACHINES.items():
            self.fields[f"watts_{key}"] = NumberField(
                label=f"{word}, watts", most=200_000, places=0
            )
            self.fields[f"machine_s_{key}"] = MinutesField(label=f"{word}, minutes a billet")
        use_house(self, self.house)
        name_units(self, self.house)

    def person_fields(self) -> list[forms.BoundField]:
        """One rate a person."""
        return [self[f"person_{person.pk}"] for person in self.people]

    def machine_fields(self) -> list[tuple[forms.BoundField, forms.BoundField]]:
        """Watts and minutes of each machine."""
        return [(self[f"watts_{key}"], self[f"machine_s_{key}"]) for key in MACHINES]

    def clean(self) -> FieldValues:
        """The burn rate is entered, or follows from the orifice and the pressure."""
        given: FieldValues = super().clean() or {}
        rate, orifice = given.get("burn_rate"), given.get("orifice_nm")
        if rate and orifice:
            self.add_error(
                "burn_rate", "Give the burn rate or the orifice, not both; empty one of them."
            )
        elif orifice:
            self.check_jet(orifice, given.get("pressure"), given.get("burners"))
        if given.get("shielding_cents") and not given.get("shielding_volume"):
            self.add_error("shielding_volume", "Say how much gas the cylinder holds.")
        return given

    def check_jet(self, orifice_nm: int, pressure: Decimal | None, burners: Any) -> None:
        """Ask for the pressure, and let the flow be worked out."""
        if not pressure:
            self.add_error("pressure", "Give the pressure at the regulator with the orifice.")
            return
        try:
            self.jet = jet_of(orifice_nm, gauge_pa=self.gauge_pa(), burners=int(burners or 1))
        except fuel.FuelError as error:
            self.add_error("orifice_nm", str(error))

    def gauge_pa(self) -> int:
        """Pressure at the regulator [Pa]."""
        return round(Decimal(self.cleaned_data.get("pressure") or 0) * pa_per_unit(self.house))

    def values(self) -> FieldValues:
        """The sheet as whole numbers."""
        given, house = self.cleaned_data, self.house
        ug = UG_PER[given["weight_unit"]]
        found: FieldValues = {name: given[name] or 0 for name in MONEY}
        found |= {name: round((given[name] or 0) * SECONDS_PER_MINUTE) for name in TIMES}
        found |= self.machine_values()
        found |= {
            "fuel_per_ug": ug,
            "filler_per_ug": ug,
            "burn_ug_per_hour": round((given["burn_rate"] or 0) * ug),
            "orifice_nm": given["orifice_nm"] or 0,
            "gauge_pa": self.gauge_pa() if given["orifice_nm"] else 0,
            "burners": int(given["burners"] or 1),
            "power_cents": round((given["power_price"] or 0) * power_scale(house)),
            "shielding_per_ml": round((given["shielding_volume"] or 0) * ml_per_unit(house)) or 1,
            "shielding_ml_per_minute": round((given["shielding_flow"] or 0) * ml_per_minute(house)),
            "card_fee_bp": round((given["card_fee"] or 0) * 100),
            "tax_bp": round((given["tax"] or 0) * 100),
            "shows_tax": given["shows_tax"],
            "in_the_fire_together": int(given["in_the_fire_together"] or 1),
            "people": {
                str(person.pk): cents
                for person in self.people
                if (cents := given[f"person_{person.pk}"]) is not None
            },
        }
        if found["orifice_nm"]:
            found["burn_ug_per_hour"] = self.jet.ug_per_hour
        return found

    def machine_values(self) -> dict[str, int]:
        """Watts and seconds of each machine."""
        given = self.cleaned_data
        watts = {f"watts_{key}": int(given[f"watts_{key}"] or 0) for key in MACHINES}
        times = {
            f"machine_s_{key}": round((given[f"machine_s_{key}"] or 0) * SECONDS_PER_MINUTE)
            for key in MACHINES
        }
        return watts | times


def jet_of(orifice_nm: int, *, gauge_pa: int, burners: int) -> fuel.Jet:
    """Propane through the burner's orifice."""
    return fuel.jet(orifice_mm=orifice_nm / 1_000_000, gauge_pa=gauge_pa, orifices=burners)


def name_units(form: RatesForm, house: House) -> None:
    """Labels in the shop's units."""
    is_inch = house.system == "inch"
    gas = "ft³" if is_inch else "L"
    for name, words in {
        "pressure": f"and pressure, {'psi' if is_inch else 'bar'}",
        "shielding_volume": f"a cylinder holds, {gas}",
        "shielding_flow": f"Flow, {'ft³ an hour' if is_inch else 'L a minute'}",
    }.items():
        form.fields[name].label = words


def rates_initial(values: Mapping[str, Any], *, house: House) -> FieldValues:
    """A sheet as its form shows it, in the shop's units of today."""

    def number(name: str) -> Decimal:
        return Decimal(int(values.get(name) or 0))

    unit = weight_unit_of(int(number("fuel_per_ug")), house=house)
    ug = Decimal(UG_PER[unit])
    found: FieldValues = {name: int(number(name)) or None for name in MONEY}
    for name in ("fuel", "filler"):  # of an old sheet, they may be in two units
        per = number(f"{name}_per_ug") or ug
        found[f"{name}_cents"] = round(number(f"{name}_cents") * ug / per) or None
    times = [*TIMES, *(f"machine_s_{key}" for key in MACHINES)]
    found |= {name: number(name) / SECONDS_PER_MINUTE for name in times}
    found |= {f"watts_{key}": number(f"watts_{key}") for key in MACHINES}
    is_jet = bool(number("orifice_nm"))
    found |= {
        "weight_unit": unit,
        "burn_rate": None if is_jet else number("burn_ug_per_hour") / ug,
        "orifice_nm": int(number("orifice_nm")) or None,
        "pressure": round(number("gauge_pa") / pa_per_unit(house), 2),
        "burners": number("burners") if is_jet else None,
        "power_price": number("power_cents") / power_scale(house),
        "shielding_volume": round(number("shielding_per_ml") / ml_per_unit(house), 2),
        "shielding_flow": round(number("shielding_ml_per_minute") / ml_per_minute(house), 2),
        "card_fee": number("card_fee_bp") / 100,
        "tax": number("tax_bp") / 100,
        "shows_tax": bool(values.get("shows_tax")),
        "in_the_fire_together": number("in_the_fire_together"),
    }
    found |= {f"person_{key}": int(cents) for key, cents in (values.get("people") or {}).items()}
    return found
