"""A ZIP code as the state and the place on the map that it stands for."""

from __future__ import annotations

from assistant.terms import Amount, Parse, Slot


def with_place(parse: Parse) -> Parse:
    """The reading with state, latitude and longitude of the ZIP code that it names; as it was where none is known."""
    slot = parse.slots.get("zip")
    if slot is None:
        return parse
    found = place_of_zip(slot)
    if found is None:
        return parse
    state, latitude, longitude = found
    parse = parse.with_slot(Slot("state", f"state.{state}", why=f"ZIP {code_of(slot)}"))
    for name, value in (("latitude", latitude), ("longitude", longitude)):
        parse = parse.with_slot(Slot(name, Amount("number", value, value, text=slot.amount.text)))
    return parse


def code_of(slot: Slot) -> str:
    """The five digits, with the zeros that a number loses."""
    return f"{int(slot.amount.low):05d}"


def place_of_zip(slot: Slot) -> tuple[str, float, float] | None:
    """State, latitude and longitude of a ZIP code; None where there is none."""
    import zipcodes

    code = code_of(slot)
    found = zipcodes.matching(code) if len(code) == 5 else []
    if not found:
        return None
    return str(found[0]["state"]), float(found[0]["lat"]), float(found[0]["long"])
