"""How long an antifouling lasts: biocide by mass balance, film by wear.

Figures of this sort are good to a factor of a few only; every working says so.
"""

from __future__ import annotations

from hulllog.trade.ranges import above, within
from hulllog.trade.working import Input, Interval, Source, Working

RELEASED = 0.9
"""Share of the biocide that is let go during the life.  From memory."""
_ISO = Source("from memory", "ISO 10890:2010 type of mass balance")
_FINNIE = Source("published", "Finnie 2006, Biofouling 22, 279-291")
_TRIAL = Source("common practice", "five-year trial in a tidal stream, trade press")
_STREAM = Source("published", "flow and leaching of antifouling paints, abstract")


def _shared(
    ingredient: float, density: float, film: float, solids: float, released: float, active: float
) -> tuple[float, tuple[Input, ...]]:
    """Return µg of active substance by cm² and the inputs."""
    wa = above("ingredient", ingredient, 0.0, 100.0, "percent")
    rho = within("density", density, 0.5, 5.0, "kg/L")
    dft = above("film", film, 0.0, 2000.0, "um")
    vs = above("volume_solids", solids, 0.0, 100.0, "percent")
    la = above("share_released", released, 0.0, 1.0)
    a = above("active_share", active, 0.0, 1.0)
    inputs = (
        Input("L_a", la),
        Input("a", a),
        Input("w_a", wa, "percent"),
        Input("ρ", rho, "kg/L"),
        Input("DFT", dft, "um"),
        Input("VS", vs, "percent"),
    )
    return 100.0 * la * a * wa * rho * dft / vs, inputs


def biocide_in_film(
    ingredient: float,
    density: float,
    film: float,
    solids: float,
    active: float = 1.0,
    released: float = RELEASED,
) -> Working:
    """Return the active substance that a dry film can let go, in µg/cm².

    ``ingredient`` is the biocide's share of the wet paint in % by mass, ``density`` in kg/L,
    ``film`` in µm, ``solids`` in % by volume, ``active`` the share of active substance in it
    (copper in cuprous oxide 0.888), ``released`` the share let go during the life.
    Raises Refusal ``out_of_range``.  Source: from memory, ISO 10890 type of mass balance.
    """
    mass, inputs = _shared(ingredient, density, film, solids, released, active)
    return Working(
        name="biocide_in_film",
        value=mass,
        unit="ug/cm2",
        formula="M = 100·L_a·a·w_a·ρ·DFT/VS",
        inputs=inputs,
        source=_ISO,
        cautions=("upper_bound_of_release",),
    )


def mean_release(in_film: float, days: float) -> Working:
    """Return the mean release over a life, in µg/(cm²·d), with the band that field work gives.

    ``in_film`` in µg/cm², ``days`` the life.  The band runs from 4 times less to 8 times more, as
    far apart as two field studies found.  Raises Refusal ``out_of_range``.
    Source: from memory, ISO 10890 type; band by Finnie 2006 and Lagerström 2018.
    """
    mass = above("biocide_in_film", in_film, 0.0, 1e6, "ug/cm2")
    life = above("days", days, 0.0, 3653.0, "d")
    rate = mass / life
    return Working(
        name="mean_release",
        value=rate,
        unit="ug/(cm2.d)",
        formula="R = M/t",
        inputs=(Input("M", mass, "ug/cm2"), Input("t", life, "d")),
        source=_ISO,
        cautions=("upper_bound_of_release", "good_to_a_factor_of_a_few"),
        interval=Interval(rate / 4.0, rate * 8.0),
    )


def environmental_release(calculated: float, laboratory: bool = False) -> Working:
    """Return the release in the sea that a calculated or laboratory figure stands for.

    ``calculated`` in µg/(cm²·d): divided by 2.9, a laboratory figure by 5.4.
    Raises Refusal ``out_of_range``.  Source: Finnie 2006.
    """
    rate = above("release", calculated, 0.0, 1e4, "ug/(cm2.d)")
    factor = 5.4 if laboratory else 2.9
    return Working(
        name="environmental_release",
        value=rate / factor,
        unit="ug/(cm2.d)",
        formula="R′ = R/k",
        inputs=(Input("R", rate, "ug/(cm2.d)"), Input("k", factor)),
        source=_FINNIE,
        cautions=("good_to_a_factor_of_a_few",),
    )


def film_for_release(
    release: float,
    days: float,
    ingredient: float,
    density: float,
    solids: float,
    active: float = 1.0,
    released: float = RELEASED,
) -> Working:
    """Return the dry film in µm that keeps up a mean release over a life.

    ``release`` in µg/(cm²·d), the rest as in ``biocide_in_film``.  Raises Refusal ``out_of_range``.
    Source: from memory, ISO 10890 type of mass balance.
    """
    rate = above("release", release, 0.0, 1e4, "ug/(cm2.d)")
    life = above("days", days, 0.0, 3653.0, "d")
    by_um, inputs = _shared(ingredient, density, 1.0, solids, released, active)
    return Working(
        name="film_for_release",
        value=rate * life / by_um,
        unit="um",
        formula="DFT = R·t·VS/(100·L_a·a·w_a·ρ)",
        inputs=(
            Input("R", rate, "ug/(cm2.d)"),
            Input("t", life, "d"),
            *(one for one in inputs if one.symbol != "DFT"),
        ),
        source=_ISO,
        cautions=("good_to_a_factor_of_a_few",),
    )


def months_of_film(film: float, reserve: float, wear: float) -> Working:
    """Return the months until a film is worn down to what is kept in reserve.

    ``film`` and ``reserve`` in µm, ``wear`` in µm a month (3.0 was measured for self-polishing
    paints in a five-year trial).  Raises Refusal ``out_of_range`` or where the reserve is not
    below the film.  Source: film wear taken as even.
    """
    start = above("film", film, 0.0, 2000.0, "um")
    keep = within("reserve", reserve, 0.0, start, "um")
    rate = within("wear", wear, 0.01, 100.0, "um/month")
    return Working(
        name="months_of_film",
        value=(start - keep) / rate,
        unit="month",
        formula="t = (DFT − DFT_r)/r",
        inputs=(
            Input("DFT", start, "um"),
            Input("DFT_r", keep, "um"),
            Input("r", rate, "um/month"),
        ),
        source=_TRIAL,
        cautions=("good_to_a_factor_of_a_few", "hard_paint_keeps_its_film"),
    )


def speed_factor(knots: float) -> Working:
    """Return how many times faster copper leaves a film under way than at rest.

    1 at rest, 2 from 10 and 3 from 20 kn, straight between; ``knots`` from 0 to 40.
    Raises Refusal ``out_of_range``.  Source: our own rule on a published study of flow.
    """
    speed = within("speed", knots, 0.0, 40.0, "kn")
    return Working(
        name="speed_factor",
        value=1.0 + min(speed, 20.0) / 10.0,
        unit="1",
        formula="k = 1 + min(v, 20)/10",
        inputs=(Input("v", speed, "kn"),),
        source=_STREAM,
        cautions=("good_to_a_factor_of_a_few",),
    )


def wear_by_distance(miles: float) -> Working:
    """Return the self-polishing film that a distance under way wears off, in µm.

    ``miles`` in nautical miles, from 0 to 200 000: 180.8 µm over 152 808 miles in a trial at 3.5
    knots.  Raises Refusal ``out_of_range``.  Source: a five-year trial in a tidal stream.
    """
    distance = within("distance", miles, 0.0, 200_000.0, "nmi")
    return Working(
        name="wear_by_distance",
        value=180.8 / 152_808.0 * distance,
        unit="um",
        formula="w = 180.8/152808·s",
        inputs=(Input("s", distance, "nmi"),),
        source=_TRIAL,
        cautions=("good_to_a_factor_of_a_few",),
    )
