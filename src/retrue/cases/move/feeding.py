"""What the supply calculator says of the line that feeds a machine."""

from __future__ import annotations

from collections.abc import Mapping

from retrue.base.refusals import Unreadable, Unusable
from retrue.base.say import say
from retrue.cases.reckon.method import method, values_of
from retrue.cases.reckon.prefill import Filled

CURRENTS = ("supply_line_ampere", "input_ampere", "line_ampere")  # on your side goes first
DECIMALS = 3


def fed(supply: Mapping[str, Filled]) -> dict[str, Filled]:
    """The fields of conductor and protection that follow from what is known of the supply.

    Parameters
    ----------
    supply : mapping of str to Filled
        Fields of the supply calculator that are known.

    Returns
    -------
    dict of str to Filled
        Current, volts and phases of your line; empty while the current is not known.

    Examples
    --------
    >>> typed = {"plate_kva": "20 kVA", "plate_volts": "400", "supply_volts": "400"}
    >>> found = fed({name: Filled(text, "typed") for name, text in typed.items()})
    >>> found["line_ampere"].value, found["volts"].value
    ('28.868 A', '400')
    """
    one = method("supply")
    try:
        made = one.reckon(values_of(one, {id: known.value for id, known in supply.items()}))
    except (Unusable, Unreadable):
        return {}
    values = {figure.key: figure.value for figure in made.figures}
    current = next((values[key] for key in CURRENTS if values.get(key) is not None), None)
    if current is None:
        return {}
    where = say("from the supply calculator")
    found = {"line_ampere": Filled(f"{round(current, DECIMALS):g} A", where)}
    for field, name in (("volts", "supply_volts"), ("phases", "supply_phases")):
        if name in supply:
            found[field] = Filled(supply[name].value, where)
    return found
