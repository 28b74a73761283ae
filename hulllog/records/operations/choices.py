"""The codes that a record may hold, in the order in which they are offered."""

from __future__ import annotations

from hulllog.trade import coatclasses

VISIT_KINDS = ("haul_out", "drying_out", "diver", "camera", "berth", "survey")
OUT_OF_WATER = ("haul_out", "drying_out")
WAYS = (
    "hoist", "crane", "slipway", "floating_dock", "drying_grid", "trailer", "mover", "unknown",
)  # fmt: skip
SUPPORTS = (
    "blocks_and_props", "cradle", "trailer", "slings", "legs", "own_keels", "wall", "dock_blocks",
    "unknown",
)  # fmt: skip
AREAS = "areas"
"""Name of the setting that holds the factor by which the owner corrected her areas."""
DRY_ZONES = ("topsides", "transom", "own-above")
"""How the codes of zones begin that antifouling does not cover."""
SOLE = "-under"
"""How the codes of zones end on which she stands."""
PADS = ("pad", "block", "cradle", "sling")
STAGES = ("lifted", "washed", "opened_up", "prepared", "coated", "ready", "relaunched")
STATES = ("found", "during", "left")
COVERAGES = ("whole", "part", "not_seen", "not_looked")
SEEN_COVERAGES = ("whole", "part")
METHODS = ("general", "close", "touched", "tapped", "metered", "gauged", "opened", "camera")
RESULTS = ("nothing_found", "something_found")
HIDDEN_BY = (
    "support", "hanging", "growth", "water", "paint", "fitting", "ground", "other",
)  # fmt: skip

WATERS = ("salt", "brackish", "fresh", "unknown")
SHORE_POWER = ("none", "plugged", "plugged_with_isolator", "unknown")
EVENTS = (
    "grounding", "collision", "sinking", "lightning", "work_nearby", "new_neighbour",
    "new_owner", "other",
)  # fmt: skip

ANODE_METALS = ("zinc", "aluminium", "magnesium", "unknown")
ANODE_WAYS = ("weighed", "by_eye", "renewed", "not_looked")
MASS_FROM = ("weighed", "maker", "unknown")
CONTACTS = ("tight", "loose", "none", "unknown")
EYE_SHARES = {
    "full": (0.9, 1.0),
    "three_quarters": (0.65, 0.85),
    "half": (0.4, 0.6),
    "quarter": (0.15, 0.35),
    "gone": (0.0, 0.1),
}
"""What is left by eye -> the interval it stands for.  Our own rule."""

COATING_CLASSES = (*coatclasses.COATING_CLASSES, "other", "unknown")
COATING_ROLES = ("antifouling", "primer", "barrier", "tie", "filler", "topside", "other")
WINDOW_STEPS = ("overcoat_self", "overcoat_by", "launch", "touch_dry", "pot_life")
TOOLS = ("roller", "brush", "airless", "air_spray", "unknown")
DOWN_TO = ("sound_antifouling", "primer", "gelcoat", "laminate", "bare_metal", "wood")
TREATMENTS = ("dried", "peeled", "opened_and_filled", "barrier", "blasted", "other")

FINDING_SORTS = (
    "blisters", "rust", "crack", "damage", "coating", "wear", "leak", "corrosion", "other",
)  # fmt: skip
MUSTS = ("before_relaunch", "this_season", "next_lift", "watch")
SEVERITIES = ("slight", "moderate", "severe")
FINDING_SEEN = ("present", "not_found", "not_seen")
ASKED_BY = ("insurer", "buyer", "owner", "lender")

ROLES = (
    "owner", "former_owner", "yard_hand", "surveyor", "friend", "diver", "contractor", "other",
)  # fmt: skip
FIRMS = ("yard", "chandler", "insurer", "contractor", "surveyor", "other")
DOCUMENTS = ("invoice", "survey", "data_sheet", "letter", "certificate", "other")
GEARS = (
    "seacock", "skin_fitting", "shaft", "bearing", "shaft_seal", "stern_gland", "stern_tube",
    "propeller", "bracket", "saildrive", "outdrive", "bellows", "rudder", "rudder_bearing",
    "skeg", "keel_joint", "keel_bolt", "thruster", "trim_tab", "transducer", "rigging", "other",
)  # fmt: skip
DUE_SORTS = ("look", "renew")
INSTRUMENTS = (
    "moisture_meter", "film_gauge", "plate_gauge", "scale", "reference_electrode", "hygrometer",
    "thermometer", "other",
)  # fmt: skip
READERS = ("insurer", "buyer", "surveyor")


def zone_sort(code: str) -> str:
    """Return what decides of a zone whether paint on the whole bottom covers it."""
    return "dry" if code.startswith(DRY_ZONES) else "sole" if code.endswith(SOLE) else "bottom"
