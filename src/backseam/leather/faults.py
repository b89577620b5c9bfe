"""What can be wrong with a finished sheath, by name: symptoms as a maker meets them."""

from __future__ import annotations

from enum import StrEnum


class Fault(StrEnum):
    """One symptom. Causes, check, repair and prevention of each are found under its name."""

    LOOSE_FIT = "loose_fit"
    TIGHT_FIT = "tight_fit"
    NO_CLICK = "no_click"
    BLADE_BINDS = "blade_binds"
    EDGE_CUTS_SEAM = "edge_cuts_seam"
    TIP_THROUGH = "tip_through"
    WRINKLE_BEND = "wrinkle_bend"
    SEAM_OFF_CENTRE = "seam_off_centre"
    HOLES_DIFFER = "holes_differ"
    SEAM_GAP = "seam_gap"
    STITCH_TEAR = "stitch_tear"
    CRACKED_FOLD = "cracked_fold"
    COLLAR_GAP = "collar_gap"
    COLLAR_UNEVEN = "collar_uneven"
    IRON_STAIN = "iron_stain"
    WATER_MARK = "water_mark"
    FINGER_MARKS = "finger_marks"
    MOULD_GROWTH = "mould_growth"
    BRITTLE = "brittle"
    DYE_PATCHY = "dye_patchy"
    DYE_RUBS = "dye_rubs"
    BLADE_RUST = "blade_rust"
    THREAD_FRAY = "thread_fray"
    HANGS_TILTED = "hangs_tilted"
    STRAP_CREEP = "strap_creep"
    DRAIN_BLOCKED = "drain_blocked"
    FLANGE_OPENS = "flange_opens"
