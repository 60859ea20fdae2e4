"""Sewing notes and cautions of the notched-collar dress, in the order of the work."""

from __future__ import annotations

from drafting.styles.dress_plan import DressPlan


def sewing_notes(plan: DressPlan) -> tuple[str, ...]:
    """What the one who sews must know beyond the marks on the pieces."""
    notes = [
        "Before cutting: interface both front facings and the back neck facing; mark roll lines, centre "
        "lines, darts and pleat folds on both halves.",
        "Sew the darts; press waist darts to the centre, bust darts downward.",
        f"Sew the shoulder seams{_shoulder(plan)} as far as the neck point and no further; clip the front's "
        "inner corner at the neck point to the stitching.",
        *_collar(plan),
        "Round collar and lapel: sew shell to facing from the centre back to the front edge, pivot at the "
        "inner corner of the notch and clip it; grade, turn and press so that the seam rolls under: towards "
        "the shell above the break, towards the facing below it.",
        "Steam the collar over a rolled towel along the roll line; do not press the roll flat.",
        _armhole(plan),
        "Fold and baste the pleats along their arrows from the waist to the hip line, then join the skirt to "
        "the bodice: centres, side seams and darts on their marks.",
        *_closure(plan),
        "Hang the dress for a night before the hem is turned.",
    ]
    if plan.skirt_lined:
        notes.append(
            "Lay the lining's extra width at the waist into soft tucks; hem it shorter than the skirt."
        )
    if plan.break_point == "waist":
        notes.append(
            "The front is open deep below the neck: wear it over a blouse, or sew in a modesty piece."
        )
    return tuple(notes)


def _shoulder(plan: DressPlan) -> str:
    eased = plan.bodice.back.shoulder.length - plan.bodice.front.shoulder.length
    return ", the back eased on to the front over its middle third," if eased >= 1 else ""


def _collar(plan: DressPlan) -> tuple[str, ...]:
    if plan.zip_closure:
        return (
            "Sew the collar's neck edge to the back neck, shell to shell and facing to facing. The collar is "
            "parted at the centre back: close each end, shell to facing; set a hook and eye above the zip.",
        )
    return (
        "Join the collar at the centre back, shell and facing each; then sew its neck edge to the back neck, "
        "shell to shell and facing to facing.",
    )


def _armhole(plan: DressPlan) -> str:
    if plan.lining == "none":
        return "Face the armholes: sew, grade, clip, turn, understitch, and catch the facing at the seams."
    return (
        "The lining finishes the armholes: sew shell to lining, clip, understitch, and turn through the "
        "shoulders."
    )


def _closure(plan: DressPlan) -> tuple[str, ...]:
    if plan.zip_closure:
        return (
            "Lap the right front over the left, centre on centre, and baste the laps into the waist seam; "
            "the buttons are sewn through both fronts and do not open.",
            "Sew the centre back of the skirt below the zip's end, then set the zip from the nape down.",
        )
    return (
        "Sew the button stand's facing to the skirt front; the front edge runs in one line from the break to "
        "the hem. Work the buttonholes in the right front, sew the buttons to the left.",
    )
