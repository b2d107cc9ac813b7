"""What a smith lays up: layers in order, the blank, the finish, the blade to be ground from it.

Plain data that can be written to JSON and read back. It leaves out every judgement: sums are in
`billets.layup.stack`, the working window in `billets.layup.window`, what is wrong in
`billets.findings.findings`.

Errors:
    DesignError(ValueError)  stored data does not describe a layup
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from stock.quantities.named_values import Json

ROLES: tuple[str, ...] = ("cladding", "line", "core", "jacket")
GRINDS: tuple[str, ...] = ("flat", "sabre", "hollow", "convex")
NOT_GROUND = "none"  # a chisel grind's other face


class DesignError(ValueError):
    """Stored data does not describe a layup.

    Attributes:
        name: the value that is wrong.
        given: what stood there.
    """

    def __init__(self, name: str, given: object, wanted: str) -> None:
        self.name = name
        self.given = given
        super().__init__(f"'{name}' of this layup is {given!r}; it has to be {wanted}.")


@dataclass(frozen=True)
class Layer:
    """One layer of the stack as bought: alloy key, thickness before cleaning, its part."""

    alloy: str
    thickness_nm: int
    role: str = "cladding"


@dataclass(frozen=True)
class OtherFace:
    """The left face, towards the bottom of the stack, where it is not ground as the right one is.

    `grind` is one of `GRINDS`, with its own sizes as `Blade` has them, or `NOT_GROUND`: the face
    of the billet is left as it is and the edge lies on it. `edge_off_nm` is how far the edge lies
    off the middle of the blade towards this face; nothing to a face that is not ground.
    """

    grind: str = NOT_GROUND
    bevel_height_nm: int | None = None
    wheel_radius_nm: int | None = None
    bulge_nm: int | None = None
    edge_off_nm: int = 0

    @property
    def is_ground(self) -> bool:
        """Whether anything is taken off it."""
        return self.grind != NOT_GROUND


@dataclass(frozen=True)
class Blade:
    """The blade to be ground from the finished billet.

    `spine_nm` is the thickness at the spine, `height_nm` edge to spine. A sabre grind has
    `bevel_height_nm` (edge to plunge line), a hollow grind `wheel_radius_nm`, a convex grind
    `bulge_nm` (how far the curve stands outside the straight bevel). None takes a usual value.
    `length_nm` is heel to tip; None takes the usual share of the drawn billet. Grind and its sizes
    are the right face's, towards the top of the stack; `left` is None where both are alike.
    """

    spine_nm: int = 3_175_000
    height_nm: int = 31_750_000
    grind: str = "flat"
    bevel_height_nm: int | None = None
    wheel_radius_nm: int | None = None
    bulge_nm: int | None = None
    length_nm: int | None = None
    left: OtherFace | None = None

    @property
    def is_chisel(self) -> bool:
        """Whether the left face is not ground."""
        return self.left is not None and not self.left.is_ground


@dataclass(frozen=True)
class Design:
    """A layup: layers from the bottom face up, and everything its figures follow from.

    `cut_allowance_nm` is added to the length of every blank when it is cut. `cleaning_loss_nm`
    is ground from each face of every layer but the lines, before stacking (strip is scoured,
    not ground). `finish_thickness_nm` is what the billet is forged to, before the blade is
    ground to its spine; a width gives the length, a length gives the width, and with neither it
    spreads as it will. With both, the metal gives the thickness, and `finish_thickness_nm` is what
    it came to in the shop that wrote the layup down. `zinc_control` is how the smith keeps zinc
    fume in hand, in words.
    """

    layers: tuple[Layer, ...]
    blank_length_nm: int
    blank_width_nm: int
    finish_thickness_nm: int
    cut_allowance_nm: int = 0
    cleaning_loss_nm: int = 0
    seam_closed: bool = True
    finish_width_nm: int | None = None
    finish_length_nm: int | None = None
    blade: Blade = field(default_factory=Blade)
    zinc_control: str = ""

    def to_json(self) -> Json:
        """Plain dict of whole numbers, strings, lists and true or false."""
        return {
            "layers": [
                {"alloy": one.alloy, "thickness_nm": one.thickness_nm, "role": one.role}
                for one in self.layers
            ],
            **{name: getattr(self, name) for name in _WHOLE},
            **{name: getattr(self, name) for name in _OPTIONAL},
            "seam_closed": self.seam_closed,
            "zinc_control": self.zinc_control,
            "blade": {"grind": self.blade.grind}
            | {name: getattr(self.blade, name) for name in (*_BLADE_WHOLE, *_BLADE_OPTIONAL)}
            | _left_json(self.blade.left),
        }

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> "Design":
        """A layup from what `to_json` wrote; names that it does not know are left alone.

        Raises:
            DesignError: something is missing or is not what it has to be.
        """
        return cls(
            layers=_layers(data.get("layers")),
            **{name: _whole(data, name) for name in _WHOLE},
            **{name: _whole(data, name) for name in _OPTIONAL if data.get(name) is not None},
            seam_closed=_yes_no(data, "seam_closed"),
            zinc_control=_words(data, "zinc_control"),
            blade=_blade(data.get("blade", {})),
        )

    def with_layers(self, layers: Iterable[Layer]) -> "Design":
        """The same layup with other layers."""
        return replace(self, layers=tuple(layers))


_WHOLE = (
    "blank_length_nm",
    "blank_width_nm",
    "finish_thickness_nm",
    "cut_allowance_nm",
    "cleaning_loss_nm",
)
_OPTIONAL = ("finish_width_nm", "finish_length_nm")
_BLADE_WHOLE = ("spine_nm", "height_nm")
_OWN_SIZES = ("bevel_height_nm", "wheel_radius_nm", "bulge_nm")
_BLADE_OPTIONAL = (*_OWN_SIZES, "length_nm")


def _left_json(left: OtherFace | None) -> Json:
    """The left face where it is not the right one's like; nothing where it is, as ever."""
    if left is None:
        return {}
    names = ("grind", *_OWN_SIZES, "edge_off_nm")
    return {"left": {name: getattr(left, name) for name in names}}


def _whole(data: Mapping[str, Any], name: str) -> int:
    given = data.get(name)
    if isinstance(given, bool) or not isinstance(given, int):
        raise DesignError(name, given, "a whole number of nanometres")
    return given


def _yes_no(data: Mapping[str, Any], name: str) -> bool:
    given = data.get(name, True)
    if not isinstance(given, bool):
        raise DesignError(name, given, "true or false")
    return given


def _words(data: Mapping[str, Any], name: str) -> str:
    given = data.get(name, "")
    if not isinstance(given, str):
        raise DesignError(name, given, "text")
    return given


def _mapping(given: object, name: str) -> Mapping[str, Any]:
    if not isinstance(given, Mapping):
        raise DesignError(name, given, "a group of named values")
    return given


def _layers(given: object) -> tuple[Layer, ...]:
    if not isinstance(given, list | tuple):
        raise DesignError("layers", given, "a list of layers")
    return tuple(_layer(_mapping(one, "layers")) for one in given)


def _layer(data: Mapping[str, Any]) -> Layer:
    role = data.get("role", "cladding")
    if role not in ROLES:
        raise DesignError("role", role, "one of " + ", ".join(ROLES))
    alloy = _words(data, "alloy")
    return Layer(alloy=alloy, thickness_nm=_whole(data, "thickness_nm"), role=role)


def _blade(given: object) -> Blade:
    data = _mapping(given, "blade")
    return Blade(
        grind=_grind(data, "flat", GRINDS),
        left=None if data.get("left") is None else _other_face(data["left"]),
        **_sizes(data, (*_BLADE_WHOLE, *_BLADE_OPTIONAL)),
    )


def _other_face(given: object) -> OtherFace:
    data = _mapping(given, "left")
    sizes = _sizes(data, (*_OWN_SIZES, "edge_off_nm"))
    return OtherFace(grind=_grind(data, NOT_GROUND, (NOT_GROUND, *GRINDS)), **sizes)


def _grind(data: Mapping[str, Any], usual: str, known: tuple[str, ...]) -> str:
    grind = data.get("grind", usual)
    if grind not in known:
        raise DesignError("grind", grind, "one of " + ", ".join(known))
    return str(grind)


def _sizes(data: Mapping[str, Any], names: tuple[str, ...]) -> dict[str, int]:
    return {name: _whole(data, name) for name in names if data.get(name) is not None}


BLADE_FIELDS: tuple[str, ...] = (
    "spine_nm",
    "blade_height_nm",
    "blade_length_nm",
    "grind",
    "bevel_height_nm",
    "wheel_radius_nm",
    "bulge_nm",
    "left_grind",
    "left_bevel_height_nm",
    "left_wheel_radius_nm",
    "left_bulge_nm",
    "edge_off_nm",
)


def blade_from(given: Mapping[str, Any]) -> Blade:
    """The blade that a layup's fields describe.

    Args:
        given: values by the names of `BLADE_FIELDS` [nm]; an empty "left_grind" makes both faces
            alike, whatever stands in the left face's sizes.

    Returns:
        The blade.

    Raises:
        KeyError: a field is missing.
    """
    left = None
    if given["left_grind"]:
        left = OtherFace(
            grind=given["left_grind"],
            bevel_height_nm=given["left_bevel_height_nm"],
            wheel_radius_nm=given["left_wheel_radius_nm"],
            bulge_nm=given["left_bulge_nm"],
            edge_off_nm=given["edge_off_nm"] or 0,
        )
    return Blade(
        spine_nm=given["spine_nm"],
        height_nm=given["blade_height_nm"],
        grind=given["grind"],
        bevel_height_nm=given["bevel_height_nm"],
        wheel_radius_nm=given["wheel_radius_nm"],
        bulge_nm=given["bulge_nm"],
        length_nm=given["blade_length_nm"],
        left=left,
    )
