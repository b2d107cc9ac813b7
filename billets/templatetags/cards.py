"""The heat-treatment card in templates, in the units that the shop has set."""

from dataclasses import dataclass

from django import template
from django.template import Context

from billets.errors import temperature_words
from billets.heat.treatment import Card
from stock.house import House

register = template.Library()


@dataclass(frozen=True)
class SaidStep:
    """One step in words; the remark is the ceiling of the stack beside it."""

    name: str
    text: str
    remark: str


def _system(context: Context) -> str:
    house = context.get("house")
    if not isinstance(house, House):
        raise LookupError("The template has no `house`; render it with the request or pass it.")
    return house.system


@register.simple_tag(takes_context=True)
def said_steps(context: Context, card: Card) -> list[SaidStep]:
    """{% said_steps card as steps %}: each step beside the ceiling of the stack."""
    system = _system(context)
    ceiling = card.ceiling_c
    words = f"ceiling {temperature_words(ceiling, system=system)}" if ceiling else ""
    return [
        SaidStep(step.name, step.text(system), words if step.low_c is not None else "")
        for step in card.steps
    ]


@register.simple_tag(takes_context=True)
def said_warnings(context: Context, card: Card) -> tuple[str, ...]:
    """{% said_warnings card as warnings %}: where a step passes the ceiling."""
    return card.warnings(_system(context))


@register.simple_tag(takes_context=True)
def said_tempers(context: Context, card: Card) -> list[str]:
    """{% said_tempers card as tempers %}: hardness by temper."""
    system = _system(context)
    return [row.text(system) for row in card.tempers]
