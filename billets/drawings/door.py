"""Every drawing of the metalwork in one place: what each makes of plain numbers.

Templates in templates/svg take one drawing each. Nothing is worked out here.

    stack_drawing     svg/stack.html         section_drawing   svg/section.html
    heat_bar          svg/heat_bar.html      side_view         svg/side_view.html
    length_chart      svg/length_chart.html  residual_plot     svg/residual_plot.html
    waterfall         svg/waterfall.html     piece_bars        svg/piece_bar.html
    bar_cuts          svg/bar_cuts.html      sheet_layout      svg/sheet_layout.html
"""

from billets.blade.outline import ripple
from billets.drawings.blade import SectionDrawing, section_drawing
from billets.drawings.chart import Residual, Share, residual_plot, waterfall
from billets.drawings.halves import Skin, halves, lines_of
from billets.drawings.heat import HeatBar, LengthChart, LengthStep, heat_bar, length_chart
from billets.drawings.side import SideView, side_view
from billets.drawings.stack import StackDrawing, StackLayer, layers_of, stack_drawing
from stock.drawings.pieces import BarCuts, Cut, PieceBars, PieceSize, bar_cuts, piece_bars
from stock.drawings.shapes import DrawingError, metal_kind
from stock.drawings.sheets import SheetLayout, SheetPart, sheet_layout

__all__ = [
    "BarCuts",
    "Cut",
    "DrawingError",
    "HeatBar",
    "LengthChart",
    "LengthStep",
    "PieceBars",
    "PieceSize",
    "Residual",
    "SectionDrawing",
    "Share",
    "SheetLayout",
    "SheetPart",
    "SideView",
    "Skin",
    "StackDrawing",
    "StackLayer",
    "bar_cuts",
    "halves",
    "heat_bar",
    "layers_of",
    "length_chart",
    "lines_of",
    "metal_kind",
    "piece_bars",
    "residual_plot",
    "ripple",
    "section_drawing",
    "sheet_layout",
    "side_view",
    "stack_drawing",
    "waterfall",
]
