"""The form of a rate sheet: what the shop pays, in the units on its bills, and its usual times."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from django import forms

from shop import fuel
from shop.forms_class import DayField
from shop.models import Person
from shop.rate_values import MACHINES, POWER_KWH
from stock.forms import PLAIN, HouseForm, LengthField, MoneyField
from stock.house import House
from stock.money import UG_PER_KG, UG_PER_LB, currency_digits

ML_PER_FT3 = Decimal("28316.846592")  # exact: (304.8 mm)³
ML_PER_L = 1000
PA_PER_BAR = 100_000
SECONDS_PER_MINUTE = 60
MINUTES_PER_HOUR = 60
NUMERIC = PLAIN | {"inputmode": "decimal"}
TIMES = ("cut_s", "clean_s", "weld_s", "finish_s", "heat_s", "arc_s")
MONEY = (
    "labour_cents_per_hour", "overhead_cents_per_hour", "fuel_cents", "shielding_cents",
    "filler_cents", "billet_consumables_cents", "knife_consumables_cents", "card_fixed_cents",
)  # fmt: skip


class NumberField(forms.DecimalField):
    """A plain number, 0 or more; empty counts as nothing."""

    def __init__(self, *, most: int = 1_000_000, places: int = 3, **kwargs: Any) -> None:
        super().__init__(
            min_value=0, max_value=most, decimal_places=places, required=False,
            widget=forms.TextInput(attrs=NUMERIC),
            error_messages={
                "invalid": "Write a plain number, such as 12.5.",
                "min_value": "It cannot be below 0.",
                "max_value": f"More than {most:,} is surely a slip. Write less.",
                "max_decimal_places": f"At most {places} decimals, please.",
            },
            **kwargs,
        )  # fmt: skip

    def to_python(self, value: Any) -> Any:
        """A comma counts as the decimal point."""
        return super().to_python(value.replace(",", ".") if isinstance(value, str) else value)


class MinutesField(NumberField):
    """Minutes on the page; whole seconds are kept."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(most=1440, places=2, **kwargs)


class RatesForm(HouseForm):
    """One sheet; empty fields count as nothing."""

    from_date = DayField(label="These hold from")
    note = forms.CharField(label="Why they change", max_length=200, required=False)
    labour_cents_per_hour = MoneyField(label="Labour, an hour", required=False)
    overhead_cents_per_hour = MoneyField(
        label="Overhead, an hour at work", required=False,
        help_text="Rent, insurance, tools: a year of it over the hours worked in a year.",
    )  # fmt: skip
    fuel_cents = MoneyField(required=False)
    burn_rate = NumberField(most=200, help_text="Weigh the cylinder before and after an hour.")
    orifice_nm = LengthField(
        label="or the burner's orifice", style="thou", required=False,
        help_text="Its diameter, where the burn rate is not known.",
    )  # fmt: skip
    pressure = NumberField(most=150, help_text="At the regulator.")
    burners = NumberField(label="Burners lit", most=12, places=0)
    power_price = NumberField(label="Power, 1 kWh", most=1000, places=5)
    shielding_cents = MoneyField(label="Shielding gas, a cylinder", required=False)
    shielding_volume = NumberField()
    shielding_flow = NumberField(most=500)
    filler_cents = MoneyField(required=False)
    billet_consumables_cents = MoneyField(
        label="Consumables, a billet", required=False, help_text="Discs, wire wheels, soapstone."
    )
    knife_consumables_cents = MoneyField(
        label="Consumables, a knife", required=False, help_text="Belts, etchant, epoxy."
    )
    card_fee = NumberField(label="Card fee, %", most=50, places=2)
    card_fixed_cents = MoneyField(label="and for each payment", required=False)
    tax = NumberField(label="Sales tax or VAT, %", most=50, places=2)
    shows_tax = forms.BooleanField(label="Show prices with tax as well", required=False)
    cut_s = MinutesField(label="Cut")
    clean_s = MinutesField(label="Clean")
    weld_s = MinutesField(label="Weld shut")
    finish_s = MinutesField(label="Finish")
    heat_s = MinutesField(label="One heat", help_text="Fire and press together.")
    arc_s = MinutesField(label="Arc on", help_text="While shielding gas flows.")
    in_the_fire_together = NumberField(label="Billets in the fire together", most=50, places=0)

    def __init__(self, *args: Any, people: Iterable[Person], **kwargs: Any) -> None:
        self.people = list(people)
        super().__init__(*args, **kwargs)
        for person in self.people:
            field = MoneyField(label=f"{person}, an hour", required=False)
            field.use(self.house)
            self.fields[f"person_{person.pk}"] = field
        for key, word in MACHINES.items():
            self.fields[f"watts_{key}"] = NumberField(
                label=f"{word}, watts", most=200_000, places=0
            )
            self.fields[f"machine_s_{key}"] = MinutesField(label="minutes a billet")
        name_units(self, self.house)

    def person_fields(self) -> list[forms.BoundField]:
        """One rate a person."""
        return [self[f"person_{person.pk}"] for person in self.people]

    def machine_fields(self) -> list[tuple[forms.BoundField, forms.BoundField]]:
        """Watts and minutes of each machine."""
        return [(self[f"watts_{key}"], self[f"machine_s_{key}"]) for key in MACHINES]

    def clean(self) -> dict[str, Any]:
        """The burn rate is entered, or follows from the orifice and the pressure."""
        given: dict[str, Any] = super().clean() or {}
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

    def values(self) -> dict[str, Any]:
        """The sheet as whole numbers."""
        given, house = self.cleaned_data, self.house
        ug = UG_PER_LB if house.system == "inch" else UG_PER_KG
        found: dict[str, Any] = {name: given[name] or 0 for name in MONEY}
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
        }  # fmt: skip
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


def pa_per_unit(house: House) -> Decimal:
    """What a bare pressure is in: psi or bar."""
    return Decimal(str(fuel.PA_PER_PSI)) if house.system == "inch" else Decimal(PA_PER_BAR)


def ml_per_unit(house: House) -> Decimal:
    """What a bare volume of gas is in: cubic feet or litres."""
    return ML_PER_FT3 if house.system == "inch" else Decimal(ML_PER_L)


def ml_per_minute(house: House) -> Decimal:
    """What a bare flow is in: cubic feet an hour or litres a minute."""
    return ml_per_unit(house) / (MINUTES_PER_HOUR if house.system == "inch" else 1)


def power_scale(house: House) -> Decimal:
    """From the price of 1 kWh to minor units for the kWh that a price is kept for."""
    return Decimal(POWER_KWH * 10 ** currency_digits(house.currency))


def name_units(form: RatesForm, house: House) -> None:
    """Labels in the shop's units."""
    is_inch = house.system == "inch"
    mass, gas = ("lb", "ft³") if is_inch else ("kg", "L")
    for name, words in {
        "fuel_cents": f"Propane, 1 {mass}",
        "burn_rate": f"The forge burns, {mass} an hour",
        "pressure": f"and pressure, {'psi' if is_inch else 'bar'}",
        "shielding_volume": f"a cylinder holds, {gas}",
        "shielding_flow": f"Flow, {'ft³ an hour' if is_inch else 'L a minute'}",
        "filler_cents": f"Filler wire, 1 {mass}",
    }.items():
        form.fields[name].label = words


def plain(value: Decimal | float, *, places: int = 3) -> str:
    """A number as somebody would type it; nothing for nothing."""
    text = f"{value:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "" if text in ("0", "-0") else text


def rates_initial(values: Mapping[str, Any], *, house: House) -> dict[str, Any]:
    """A sheet as its form shows it, in the shop's units of today."""

    def number(name: str) -> Decimal:
        return Decimal(int(values.get(name) or 0))

    ug = Decimal(UG_PER_LB if house.system == "inch" else UG_PER_KG)
    found: dict[str, Any] = {name: int(number(name)) or None for name in MONEY}
    for name in ("fuel", "filler"):  # a sheet may have been written in the other unit
        per = number(f"{name}_per_ug") or ug
        found[f"{name}_cents"] = round(number(f"{name}_cents") * ug / per) or None
    times = [*TIMES, *(f"machine_s_{key}" for key in MACHINES)]
    found |= {name: plain(number(name) / SECONDS_PER_MINUTE, places=2) for name in times}
    found |= {f"watts_{key}": plain(number(f"watts_{key}")) for key in MACHINES}
    is_jet = bool(number("orifice_nm"))
    found |= {
        "burn_rate": "" if is_jet else plain(number("burn_ug_per_hour") / ug),
        "orifice_nm": int(number("orifice_nm")) or None,
        "pressure": plain(number("gauge_pa") / pa_per_unit(house), places=2),
        "burners": plain(number("burners")) if is_jet else "",
        "power_price": plain(number("power_cents") / power_scale(house), places=5),
        "shielding_volume": plain(number("shielding_per_ml") / ml_per_unit(house), places=2),
        "shielding_flow": plain(number("shielding_ml_per_minute") / ml_per_minute(house), places=2),
        "card_fee": plain(number("card_fee_bp") / 100, places=2),
        "tax": plain(number("tax_bp") / 100, places=2),
        "shows_tax": bool(values.get("shows_tax")),
        "in_the_fire_together": plain(number("in_the_fire_together")),
    }
    found |= {f"person_{key}": int(cents) for key, cents in (values.get("people") or {}).items()}
    return found
