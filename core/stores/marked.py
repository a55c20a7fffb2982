"""How is a ready body marked? Typical sizes, not measured: every verdict that rests on one says so."""

from core.model.names import BodyName
from core.model.project import Body
from core.model.rounding import rounded
from core.model.shapes import Band, Shape

TYPICAL_NOTE = "Typical sizes. Measure your own."

BOUGHT, FILAMENT = 0.2, 0.2
"""+- mm of the outline of a bought part and of a filament print: common practice, no source."""


def typical(name: str, shapes: tuple[Shape, ...], depth: Band, *, fixed: bool = False, tolerance: float = BOUGHT) -> Body:
    """A body of typical sizes; `tolerance` is +- mm of its outline."""
    return rounded(
        Body(
            name=BodyName(name),
            fixed=fixed,
            depth=depth,
            shapes=shapes,
            outline_tolerance=tolerance,
            trust="typical",
            notes=TYPICAL_NOTE,
        )
    )
