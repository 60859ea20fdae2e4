"""The button stand of a skirt that opens down its front: facing, buttons, buttonholes."""

from __future__ import annotations

from drafting.blocks.sketch import Sketch, Stroke
from drafting.details.buttons import Button, mark_button, mark_place, mark_upright_hole
from drafting.geometry import Path, Point
from drafting.making import Making, Phase, run
from drafting.pattern import Cut, EdgeKind, MarkKind, Method, NotionNeed
from drafting.styles.parts.skirts.hanging import Hang, folds_back, seam_stroke
from drafting.styles.parts.skirts.placket import fold_placket

FACING = "skirt front facing"
_FREE = 6.35  # mm: allowance of a free edge that is only neatened


def add_stand(making: Making, hung: Hang) -> None:
    """Face the front edge, or fold its placket, and place the buttons, where the skirt's front opens."""
    if making.centre("skirt front").kind != "buttons":
        return
    shell = making.shell("skirt front")
    if folds_back(making, shell):
        fold_placket(making, shell)
    else:
        _face(making, shell, hung)
    _join_extension(making, shell.name)
    _buttons(making, shell, hung)


def _face(making: Making, shell: Sketch, hung: Hang) -> None:
    making.add(_facing(making, shell, hung))
    making.lines["skirt front facing inner"] = run(FACING, "facing inner")
    stand = ("waist extension", "waist stand")
    making.sew(
        Phase.SKIRT,
        "button stand",
        run(shell.name, "front edge"),
        run(FACING, "front edge"),
        Method.FACED,
    )
    making.sew(
        Phase.SKIRT, "button stand at the waist", run(FACING, *stand), run(shell.name, *stand), Method.LINED
    )
    making.note(
        Phase.SKIRT,
        "Face the button stand of the skirt; work the buttonholes in the right front, sew the buttons "
        "to the left.",
    )


def _facing(making: Making, shell: Sketch, hung: Hang) -> Sketch:
    """From the edge to the stand's width, as long as the skirt."""
    waist, hem = shell.path("waist stand"), shell.path("hem")
    extension = making.centre("skirt front").extension
    at_hem, _ = hem.split_at(extension + waist.length)
    x = 0.5 * (waist.end.x - extension)
    return Sketch(
        FACING,
        [
            shell.stroke("waist extension"),
            shell.stroke("waist stand"),
            Stroke("facing inner", Path.line(waist.end, at_hem.end), EdgeKind.HEM, _FREE),
            Stroke("hem", at_hem, EdgeKind.HEM, shell.stroke("hem").allowance),
            shell.stroke("front edge"),
        ],
        (Cut("shell", 2, mirrored=True), Cut("interfacing", 2, mirrored=True)),
        (Point(x, hung.top - 0.8 * hung.length), Point(x, hung.top - 0.2 * hung.length)),
        is_front=True,
        turned=("hem",),
    )


def line_to_stand(making: Making) -> None:
    """Turn the facing's free edge into a seam to a lining."""
    facing = making.sketches[FACING]
    facing.put("facing inner", seam_stroke(making, "facing inner", facing.path("facing inner")))


def _join_extension(making: Making, name: str) -> None:
    """The extension is joined to that of the bodice or of the band."""
    own = run(name, "waist extension")
    right, left = making.lines.get("front waist extension"), making.lines.get("front waist extension left")
    if right is None:
        right = run(making.shells["front"], "waist extension")
    making.sew(Phase.WAIST, "waist at the button stand", own, right, times=1 if left else 2)
    if left:
        making.sew(Phase.WAIST, "waist at the button stand, left", own, left, times=1)


def _buttons(making: Making, shell: Sketch, hung: Hang) -> None:
    """Evenly from one spacing below the waist to above the hem."""
    house = making.house
    button = Button(house["button_diameter"], house["button_thickness"])
    line = Path.line(Point(0.0, hung.top), Point(0.0, hung.top - hung.length))
    shell.mark("centre front", MarkKind.CENTRE_LINE, line)
    heights = button_heights(hung.length, house["button_spacing"], house["button_above_hem"])
    folded = folds_back(making, shell)
    for y in heights:
        if folded:
            mark_upright_hole(shell, button, hung.top + y)
            mark_place(shell, hung.top + y)
        else:
            mark_button(shell, button, hung.top + y)
    making.notions.append(NotionNeed("button", len(heights), button.diameter, "skirt front"))


def button_heights(length: float, spacing: float, above_hem: float) -> list[float]:
    """Heights of a skirt's buttons below its waist (negative), the last ``above_hem`` above the hem, mm."""
    lowest = length - min(above_hem, 0.3 * length)
    count = max(1, int(lowest / spacing + 0.999))
    return [-lowest * (i + 1) / count for i in range(count)]
