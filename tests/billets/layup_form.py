"""What the tests of one page share."""

from typing import Any

from bs4 import BeautifulSoup
from django.urls import reverse

from billets.models import Layup
from tests.conftest import IN
from tests.kinds import MakeLayup, Person, Response

PANEL = "/layups/panel/"


def url(name: str, *args: Any) -> str:
    """Address of a page of this floor."""
    return reverse(f"billets:{name}", args=args)


def layers(*rows: tuple[str, str, str]) -> dict[str, str]:
    """Rows of the form from the top face down: metal, part, thickness."""
    data = {"layer-TOTAL_FORMS": str(len(rows))}
    for place, row in enumerate(rows):
        for name, value in zip(("metal", "role", "thickness"), row, strict=True):
            data[f"layer-{place}-{name}"] = value
    return data


FIVE = (
    ("a1084", "cladding", "1/8"),
    ("ac10200", "line", "20 thou"),
    ("a1095", "core", "3/16"),
    ("ac10200", "line", "20 thou"),
    ("a1084", "cladding", "1/8"),
)


def form(*rows: tuple[str, str, str], **changes: str) -> dict[str, str]:
    """The editor's form as a browser sends it; five sound layers unless told otherwise."""
    about = {
        "name": "Bright line",
        "blank_length_nm": "6 in",
        "blank_width_nm": "1-1/4",
        "cut_allowance_nm": "1/16",
        "cleaning_loss_nm": "",
        "seam_closed": "on",
        "finish_thickness_nm": "3/16",
        "finish_width_nm": "",
        "spine_nm": "5/32",
        "blade_height_nm": "1-1/8",
        "grind": "flat",
        "left_grind": "",
        "bar_folds": "",
        "zinc_control": "",
        "note": "",
        "save": "1",
    }
    return about | layers(*(rows or FIVE)) | changes


def soup(response: Response) -> BeautifulSoup:
    """A page, parsed."""
    return BeautifulSoup(response.text, "html.parser")


def values(page: BeautifulSoup, name: str) -> list[str]:
    """What stands in a field of every row, top face first."""
    return [str(one["value"]) for one in page.select(f'input[name$="-{name}"]') if one.get("value")]


BAD = [
    ("0", "'0' is not above 0."),
    ("-3", "'-3'"),
    ("nan", "'nan' is not a length we know."),
    ("9**9**9 mm", "is not a length we know."),
    ("1e9 in", "'1e9 in'"),
    ("", "Type how thick this layer is bought"),
]


STEEL_ON_STEEL = (("a1084", "cladding", "1/8"), *FIVE)


def overridden(make_layup: MakeLayup, owner: Person) -> Layup:
    """A layup with a stop that its owner has answered for."""
    steel, copper = ("1084", IN // 8, "cladding"), ("c10200", IN // 50, "line")
    layup: Layup = make_layup(
        layers=[steel, copper, ("1095", IN * 3 // 16, "core"), copper, steel, steel],
        override_reason="The pair is welded up beforehand.",
        override_by=owner,
    )
    return layup
