"""How long the steps of dressmaking take: the standard times from which operations are reckoned.

Handling times are common practice, no source: a practised dressmaker at her own pace, one garment at a time.
A workshop's own times should replace them as they are written down. Speeds are those at which a machine is
really run over a dress, far below its greatest; densities follow a 2.5 mm stitch (4 per cm).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from costing.rules.workstudy import PERSONAL_AND_FATIGUE
from drafting.pattern import Method

LOCKSTITCH = "301"
OVEREDGE = "504"
ZIGZAG = "304"
BY_HAND = "200"  # the hand-stitch class of ISO 4915 as a whole; which stitch is left to the worker


@dataclass(frozen=True, slots=True)
class Machine:
    """A class of stitch (ISO 4915) as it is worked: stitches per cm, and per minute while it runs."""

    stitch_class: str
    stitches_per_cm: float
    stitches_per_minute: float


MACHINES: Mapping[str, Machine] = MappingProxyType(
    {
        LOCKSTITCH: Machine(LOCKSTITCH, 4.0, 700.0),
        OVEREDGE: Machine(OVEREDGE, 4.0, 900.0),
        ZIGZAG: Machine(ZIGZAG, 20.0, 500.0),
        BY_HAND: Machine(BY_HAND, 1.0, 10.0),
    }
)


@dataclass(frozen=True, slots=True)
class SeamWork:
    """What a way of joining asks for, beside the running of the machine.

    Args:
        verb: how the operation's name begins.
        seam_class: ISO 4916 class, 1 superimposed to 8 single ply.
        phase: place in the sewing order.
        pick_up: minutes to take up, match and put away, each time the seam is sewn.
        pin_per_m: minutes to pin, baste or hold, per metre.
        after_per_m: minutes to grade, clip, turn or distribute, per metre.
        rows: rows of lockstitch along the seam (a second one understitches or secures).
        neatened: both edges are oversewn.
        press: minutes at the iron each time, and per metre.
        curve: the machine runs slower by this factor.
    """

    verb: str
    seam_class: str
    phase: int
    pick_up: float
    pin_per_m: float
    after_per_m: float = 0.0
    rows: int = 1
    neatened: bool = True
    press: tuple[float, float] = (0.8, 1.5)
    curve: float = 1.0


CUT, PREPARE, DARTS, PLEATS, JOIN, FIT, CLOSE, HEM, FINISH = range(9)
"""The phases of making, in order.

Inside JOIN and CLOSE the seams keep the order in which the draft lists them.
"""

PHASE_TITLES = ("Cut", "Prepare", "Darts", "Pleats", "Join", "Try on", "Close", "Hem", "Finish")
"""Of each phase, as the owner reads it."""

SEAM_WORK: Mapping[Method, SeamWork] = MappingProxyType(
    {
        Method.PLAIN: SeamWork("Sew", "1", JOIN, 1.5, 3.0),
        Method.PLEATED: SeamWork("Sew the pleats into", "1", JOIN, 3.0, 6.0, press=(1.5, 2.0)),
        Method.GATHERED: SeamWork("Gather and sew", "1", JOIN, 3.0, 6.0, 8.0, press=(1.0, 1.5)),
        Method.DART: SeamWork("Sew", "1", DARTS, 1.5, 6.0, neatened=False, press=(1.0, 2.0)),
        Method.ZIP: SeamWork(
            "Put in", "7", CLOSE, 10.0, 12.0, 6.0, rows=2, neatened=False, press=(2.0, 2.0), curve=2.0
        ),
        Method.ENCLOSED: SeamWork(
            "Sew and turn", "1", JOIN, 3.0, 5.0, 6.0, rows=2, neatened=False, press=(2.0, 4.0), curve=1.5
        ),
        Method.FACED: SeamWork(
            "Face", "1", JOIN, 2.0, 4.0, 6.0, rows=2, neatened=False, press=(1.5, 3.0), curve=1.3
        ),
        Method.EASED: SeamWork(
            "Ease and sew", "1", JOIN, 3.0, 10.0, 4.0, rows=2, press=(2.0, 3.0), curve=1.5
        ),
        Method.LINED: SeamWork("Join", "1", JOIN, 2.0, 4.0, neatened=False),
        Method.TOPSTITCHED: SeamWork(
            "Press in and topstitch", "5", JOIN, 2.0, 5.0, 3.0, neatened=False, press=(1.0, 3.0), curve=1.5
        ),
    }
)


@dataclass(frozen=True, slots=True)
class Work:
    """The rest of the standard times, minutes, and the allowance on top of all (share of time worked)."""

    allowance: float = PERSONAL_AND_FATIGUE
    spread_cloth: float = 12.0  # press, square up and spread one cloth, lay the pieces
    cut_piece: float = 2.0  # chalk, weigh down, label and bundle one cut piece
    cut_per_m: float = 0.9  # along the cut line
    notch: float = 0.1
    mark: float = 0.6  # one mark carried to the cloth: a fold, a drill hole, a button place
    fuse_piece: float = 3.0
    set_up_machines: float = 10.0
    pleat: float = 2.5  # fold, pin and press one pleat
    pleat_baste_per_m: float = 4.0
    hem_pin: float = 3.0
    hem_per_m: float = 5.0  # mark, turn, pin and press
    raw_edge_per_m: float = 1.0  # guide an edge that is only neatened
    button: float = 4.0
    buttonhole: float = 3.0
    buttonhole_mm: float = 60.0  # once around
    hook: float = 5.0
    tape: float = 6.0
    elastic: float = 5.0  # draw in, try on, join its ends
    roll_line: float = 5.0  # press and hold one lapel
    baste_for_fitting: float = 20.0
    fitting: float = 40.0  # try on, pin, note, mark
    trim: float = 10.0
    final_press: float = 20.0
    look_over: float = 8.0


STANDARD_WORK = Work()
