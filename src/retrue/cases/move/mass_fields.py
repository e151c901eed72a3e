"""Fields that several calculators of the move ask alike."""

from __future__ import annotations

from retrue.base.say import say
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field

MASS = Field(
    id="mass_kg",
    name="mass of the machine",
    unit="kg",
    help="Read it on the plate or the lifting drawing, or weigh it on load cells.",
    group="the machine",
)
MASS_FROM = Field(
    id="mass_from",
    name="where the mass comes from",
    sort="choice",
    choices=(
        ("weighed", "weighed"),
        ("plate", "its plate"),
        ("drawing", "its lifting drawing"),
        ("listing", "the listing"),
        ("guess", "a guess"),
    ),
    help="A listing or a guess is not lifted by.",
    group="the machine",
)
EXTRAS = Field(
    id="extras_kg",
    name="what hangs or stands with it",
    unit="kg",
    default=0.0,
    help="Slings, beam, packing, what is left in the tanks, the vice.",
    group="the machine",
)
HEIGHT = Field(
    id="centre_height_mm",
    name="height of the centre of gravity",
    unit="mm",
    help="From the drawing, or by tilting a little on load cells.",
    group="the machine",
)
UNSURE = ("listing", "guess")


def mass_of(draft: Draft) -> float | None:
    """The mass with all that goes along; what is only a guess must be weighed first.

    Parameters
    ----------
    draft : Draft
        Of a calculator with the fields of this module.

    Returns
    -------
    float or None
        Kilograms; None where nobody has said.

    Examples
    --------
    >>> draft = Draft("lift", "Lift", (MASS, MASS_FROM, EXTRAS), {"mass_kg": 4200.0,
    ...     "mass_from": "guess", "extras_kg": 80.0})
    >>> mass_of(draft), draft.missing[0].reason
    (4280.0, 'the mass is only a guess')
    """
    mass: float | None = draft.wanted(MASS.id)
    if mass is not None and not mass > 0:
        draft.lack(say("the mass is zero"), MASS.help, MASS.id)
        return None
    if mass is None:
        return None
    if draft.said(MASS_FROM.id) is None:
        draft.assumed.append(say("the mass is as typed; nobody has said where it comes from"))
    if draft.said(MASS_FROM.id) in UNSURE:
        draft.lack(
            say(
                "the mass is only {where}", where=dict(MASS_FROM.choices)[draft.said(MASS_FROM.id)]
            ),
            MASS.help,
            MASS.id,
        )
    extras: float = draft.get(EXTRAS.id) if EXTRAS.id in draft.values else 0.0
    return mass + extras
