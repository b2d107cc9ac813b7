"""A layup's fields about its blade, as the database and the editor's form name them.

It leaves out the sizes themselves (`billets.layup.design`) and reading them
(`billets.layup_editor.forms`).
"""

from collections.abc import Mapping
from typing import Any

from billets.layup.design import Blade, OtherFace

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
