"""A layup from one door: the design, its sums, its working window and its findings.

Other modules import from here; what is behind the door is split by subject:
`billets.design` (the data), `billets.rules` (the limits), `billets.stack` (sums),
`billets.window` (how hot), `billets.findings` (what is wrong).
"""

from billets.design import GRINDS, ROLES, Blade, Design, DesignError, Layer
from billets.drawn import (
    ASSUMPTIONS,
    DRAWING_ASSUMPTION,
    GRINDING_ASSUMPTION,
    drawn_layers_nm,
    finished_layers,
)
from billets.rules import Rules, rules_of
from billets.stack import (
    CLEANING_ASSUMPTION,
    Process,
    cleaned_layers_nm,
    core_index,
    cut_length_nm,
    layer_masses_ug,
    mass_ug,
    mirror,
    process,
    stack_height_nm,
)

__all__ = [
    "ASSUMPTIONS",
    "CLEANING_ASSUMPTION",
    "DRAWING_ASSUMPTION",
    "GRINDING_ASSUMPTION",
    "GRINDS",
    "ROLES",
    "Blade",
    "Design",
    "DesignError",
    "Layer",
    "Process",
    "Rules",
    "cleaned_layers_nm",
    "core_index",
    "cut_length_nm",
    "drawn_layers_nm",
    "finished_layers",
    "layer_masses_ug",
    "mass_ug",
    "mirror",
    "process",
    "rules_of",
    "stack_height_nm",
]
