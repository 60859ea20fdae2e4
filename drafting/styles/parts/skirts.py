"""What hangs from the waist: skirts, and how they are joined to a bodice or a waistband."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.blocks.sketch import Sketch, Stroke
from drafting.geometry import Path, Point
from drafting.making import Corner, Making, Phase, centre_strokes, run
from drafting.pattern import EdgeKind, Finished, Method
from drafting.styles.choices import Choice, Clash

SKIRT_LENGTH = Choice(
    "skirt_length",
    "Skirt length from the waist",
    "length",
    0.0,
    low=60.0,
    high=1500.0,
    help="Left empty, or 0, it ends at the knee.",
)


@dataclass(frozen=True, slots=True)
class GatheredSkirt:
    """A rectangle for each half, gathered into the waist; ``fullness`` is cloth width over finished width."""

    fullness: float = 2.0
    choices: tuple[Choice, ...] = (SKIRT_LENGTH,)
    needs: tuple[str, ...] = ("waist_to_knee", "waist_height", "hip_girth")
    clashes: tuple[Clash, ...] = ()

    def make(self, making: Making) -> None:
        """Draw the panels and gather them to the upper's waist."""
        house = making.house
        length = making.length("skirt_length", making.body["waist_to_knee"])
        for side in ("front", "back"):
            seam = making.run_length(making.lines[f"{side} waist"])
            width = self.fullness * seam
            centre, name = making.centres[side], f"skirt {side}"
            top, foot = Point(0.0, 0.0), Point(0.0, -length)
            sketch = Sketch(
                name,
                [
                    Stroke(
                        "waist", Path.line(top, Point(width, 0.0)), EdgeKind.SEAM, house["seam_allowance"]
                    ),
                    Stroke(
                        "side",
                        Path.line(Point(width, 0.0), Point(width, -length)),
                        EdgeKind.SEAM,
                        house["side_allowance"],
                    ),
                    Stroke("hem", Path.line(foot, Point(width, -length)), EdgeKind.HEM, house["hem_depth"]),
                    *centre_strokes(centre, side, top, foot, house, lower="hem extension")[::-1],
                ],
                (centre.cut(),),
                (Point(0.3 * width, -0.8 * length), Point(0.3 * width, -0.3 * length)),
                is_front=side == "front",
                turned=("hem",),
            )
            making.add(sketch)
            making.shells[name] = name
            making.lines |= {f"{name} waist": run(name, "waist"), f"{name} side": run(name, "side")}
            making.sew(
                Phase.WAIST,
                f"waist, {side}",
                run(name, "waist"),
                making.lines[f"{side} waist"],
                Method.GATHERED,
                ease=(self.fullness - 1) * seam,
            )
        making.sew(Phase.SKIRT, "side of the skirt", run("skirt front", "side"), run("skirt back", "side"))
        making.smooth("hem at the side", *(Corner(f"skirt {s}", "hem", "side") for s in ("front", "back")))
        making.finished.append(Finished("skirt length", length, making.body["waist_to_knee"]))
