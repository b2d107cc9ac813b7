"""A layup from one door: the design, its sums, its working window and its findings.

Other modules import from here; what is behind the door is split by subject: `billets.layup.design`
(the data), `billets.layup.limits` (the limits), `billets.layup.stack` (sums),
`billets.layup.window` (how hot), `billets.findings.findings` (what is wrong).
"""

from billets.findings.finding import Level, Measure, Words
from billets.findings.findings import Finding, findings, is_plannable, worst
from billets.layup.design import GRINDS, ROLES, Blade, Design, DesignError, Layer
from billets.layup.limits import Rules, rules_of
from billets.layup.stack import (
    ASSUMPTIONS,
    CLEANING_ASSUMPTION,
    DRAWING_ASSUMPTION,
    GRINDING_ASSUMPTION,
    Process,
    cleaned_layers_nm,
    core_index,
    cut_length_nm,
    drawn_layers_nm,
    finished_layers,
    layer_masses_ug,
    mass_ug,
    mirror,
    process,
    stack_height_nm,
    with_blank,
)
from billets.layup.window import Window, window

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
    "Finding",
    "Layer",
    "Level",
    "Measure",
    "Process",
    "Rules",
    "Window",
    "Words",
    "cleaned_layers_nm",
    "core_index",
    "cut_length_nm",
    "drawn_layers_nm",
    "findings",
    "finished_layers",
    "is_plannable",
    "layer_masses_ug",
    "mass_ug",
    "mirror",
    "process",
    "rules_of",
    "stack_height_nm",
    "window",
    "with_blank",
    "worst",
]
