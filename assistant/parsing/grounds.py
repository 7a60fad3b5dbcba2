"""The areas of a line: which are added and which taken off, what is told twice, and whose unit a bare figure has."""

from __future__ import annotations

from dataclasses import replace

from assistant.parsing.line import OF_PLACES, Line
from assistant.parsing.readings import Reading
from assistant.parsing.revised import area_of
from assistant.terms import Amount, Name

_TAKES_OFF = {"minus", "less", "except", "without", "excluding", "subtract", "but", "deduct", "-"}
_GRASS = "surface.ground"
AS_ANOTHER = "as "  # how a figure was read that has its unit from another one
_OPEN_SIZED = {"area", "size"}
_LOT = 500  # square feet of a lot at the least
_FOOTAGE = 100  # feet of a drive that are square feet sooner than a length
_PIECES = {"strips", "pieces", "sections", "areas", "squares", "beds", "sides"}
_LAWNS = {
    "lawns",
    "yards",
    "houses",
    "properties",
    "spots",
    "patches",
    "plots",
}  # these are counted so only with `of` or `each`
_MOST_PIECES, _MOST_LAWNS = 20, 500
_SIDES = {"side", "sides", "middle"}  # no names of lawns where they stand alone
_IS = {"is", "=", ":", "about", "at", "has"}
_TOLD_SIZE = {"is", "=", ":", "takes", "covers"}


def without_restated(line: Line) -> list[Reading]:
    """`1/128 acre (340 sq ft)`, `50 x 80 = 4,000 sq ft`: what says it again. Two that should be one and are not are
    both left out, to be asked for; of `5,000 sq ft of which 1,200 is bare` the part counts."""
    kept: list[Reading] = []
    for reading in line.amounts:
        between = line.words[kept[-1].end : reading.start] if kept else []
        sized = bool(kept) and kept[-1].amount.kind in _OPEN_SIZED and reading.amount.kind in _OPEN_SIZED
        alike = bool(kept) and (sized or kept[-1].amount.kind == reading.amount.kind)
        if alike and between[-1:] == ["("] and (len(between) == 1 or (sized and _same_area(kept[-1], reading))):
            continue
        if sized and not between and _same_area(kept[-1], reading):
            continue  # 1/128 acre 340 sq ft
        if sized and ("which" in between or "only" in between) and ("of" in between or "but" in between):
            kept[-1] = reading
            continue
        bare = bool(kept) and reading.amount.kind == "number" and reading.amount.single and reading.amount.low >= 20
        if bare and kept[-1].amount.kind in _OPEN_SIZED and "only" in between and {"but", "of"} & set(between):
            part_only = replace(reading.amount, kind="area", units=("sq_ft",), assumed="square feet")
            kept[-1] = replace(reading, amount=part_only)  # `5,000 sq ft, but only 2,000 needs seed`
            continue
        both = {kept[-1].amount.kind, reading.amount.kind} == {"area", "size"} if kept else False
        if both and between == [","] and not (_named_piece(line, kept[-1]) or _named_piece(line, reading)):
            between = ["="]  # `5,000 sq ft, 50 x 80 ft`: the same lawn twice
        if sized and (
            between[:1] in (["="], ["equals"]) or between in (["which", "is"], ["that", "is"], ["or"], ["is"])
        ):
            if not _same_area(kept[-1], reading):
                line.rivals = [kept.pop(), reading]
            continue
        part = _part_of(kept[-1], reading, between) if kept else None
        if part:
            kept[-1] = part
            continue
        kept.append(reading)
    return kept


def _same_area(first: Reading, second: Reading) -> bool:
    one, other = _square_feet(first.amount), _square_feet(second.amount)
    return abs(one - other) <= 0.02 * max(one, other)


def _named_piece(line: Line, reading: Reading) -> bool:
    return any(
        name.type in ("surface", "place")
        and name.id != _GRASS
        and (0 <= start - reading.end <= 1 or 0 <= reading.start - end <= 1)
        for name, start, end in line.names
    )


def _square_feet(amount: Amount) -> float:
    from assistant.units import Q, plain

    if amount.kind == "size":
        return plain(Q(amount.low[0], amount.unit) * Q(amount.low[1], amount.unit), "sq_ft")
    return plain(Q(amount.low, amount.unit), "sq_ft")


def _part_of(share: Reading, whole: Reading, between: list[str]) -> Reading | None:
    """`a third of my 9,000 sq ft`: that part of the area."""
    plain_share = share.amount.kind == "fraction" and share.amount.single
    if not plain_share or whole.amount.kind != "area" or not set(between) <= {"of", "the", "my", "our", "a", "about"}:
        return None
    low, high = (float(share.amount.low) * float(end) for end in (whole.amount.low, whole.amount.high))
    span = (share.amount.span[0], whole.amount.span[1])
    text = f"{share.amount.text} {whole.amount.text}"
    return Reading(replace(whole.amount, low=low, high=high, span=span, text=text), share.start, whole.end)


def beside_places(line: Line) -> None:
    """`front 1.2 back 3.1 side 4.5k`: figures behind names of places are in the unit of the last of them."""
    ends = {end for name, _, end in line.names if name.type in OF_PLACES}
    if ends:
        ends |= {place + 1 for place, word in enumerate(line.words) if word in _SIDES}
        _name_sides(line)
    behind = [
        place
        for place, reading in enumerate(line.amounts)
        if reading.start in ends or (reading.start - 1 in ends and line.words[reading.start - 1] in _IS)
    ]
    told = [place for place in behind if line.amounts[place].amount.kind == "area"]
    if not told:
        return
    last = line.amounts[told[-1]].amount
    for place in behind[behind.index(told[-1]) + 1 :]:  # `front 3.2k, back 4.8k, side 900`
        amount = line.amounts[place].amount
        if amount.kind == "number" and amount.single and amount.low >= _FOOTAGE:
            feet = replace(amount, kind="area", units=("sq_ft",), assumed=f"{AS_ANOTHER}{last.text}")
            line.amounts[place] = replace(line.amounts[place], amount=feet)
    for place in behind[: behind.index(told[-1])]:
        amount = line.amounts[place].amount
        if amount.kind == "number" and amount.single:
            times = 1000 if last.assumed.startswith("k ") and amount.low < 1000 else 1
            area = replace(amount, kind="area", low=amount.low * times, high=amount.high * times, units=last.units)
            line.amounts[place] = replace(line.amounts[place], amount=replace(area, assumed=f"{AS_ANOTHER}{last.text}"))


def _name_sides(line: Line) -> None:
    """`front 1.2 back 3.1 side 4.5k`: the side with a figure right behind it is a place as the others are."""
    for reading in line.amounts:
        place = reading.start - 1
        own = any(name.type in OF_PLACES and start <= place < end for name, start, end in line.names)
        if place > 0 and line.words[place] == "side" and not own:
            line.names = [one for one in line.names if one[1] != place]
            span = (line.tokens[place].start, line.tokens[place].end)
            line.names.append((Name("place.side", line.text[slice(*span)], span), place, place + 1))


def mark_parts(line: Line) -> None:
    """Signs of areas. A minus holds on over `and` until a plus; what no grass grows on is taken off a lot unasked."""
    sign, last_end = 1, None
    spoken: list[int] = []
    _bare_lot(line)
    for place, reading in enumerate(line.amounts):
        bare = reading.amount.kind == "number" and last_end is not None and _bare_part(line, reading, last_end)
        if bare or (last_end is not None and _footage(line, reading)):
            assumed = "square feet" if bare else "feet taken as square feet"
            taken = replace(reading.amount, kind="area", units=("sq_ft",), assumed=assumed)
            reading = line.amounts[place] = replace(reading, amount=taken)
        if reading.amount.kind not in _OPEN_SIZED:
            continue
        if last_end is not None:
            between = _without_overlap(_words_between(line, last_end, reading.start))
            if any(word in _TAKES_OFF for word in between) or _phrase_takes_off(between):
                sign = -1
            elif "plus" in between or "add" in between or "+" in between:
                sign = 1
                spoken.append(place)
        last_end = reading.end
        what = _surface(line, reading)
        of = what.text.lower() if what and what.id != _GRASS and not reading.amount.of else reading.amount.of
        line.amounts[place] = replace(reading, amount=replace(reading.amount, sign=sign, of=of))
    _take_off_what_is_no_grass(line, spoken)
    _repeat(line)


def _bare_lot(line: Line) -> None:
    """`lot 11200 house 2400 drive 900`: the figure behind the ground is square feet where what stands on it is told as well."""
    named = {end: name.id for name, _, end in line.names if name.type == "surface"}
    behind = [place for place, reading in enumerate(line.amounts) if reading.start in named]
    if len(behind) < 2 or named[line.amounts[behind[0]].start] != _GRASS:
        return
    first = line.amounts[behind[0]]
    others = [line.amounts[place].amount for place in behind[1:]]
    if (
        first.amount.kind == "number"
        and first.amount.low >= _LOT
        and all(one.kind in ("number", "area") for one in others)
    ):
        taken = replace(first.amount, kind="area", units=("sq_ft",), assumed="square feet")
        line.amounts[behind[0]] = replace(first, amount=taken)


def _without_overlap(words: list[str]) -> list[str]:
    """`the other leg, without overlapping, is 35 x 18` takes nothing off."""
    return [
        word
        for place, word in enumerate(words)
        if not (
            word in ("without", "not", "no") and words[place + 1 : place + 2] and words[place + 1].startswith("overlap")
        )
    ]


def _surface(line: Line, reading: Reading) -> Name | None:
    """What a piece is called: the name right behind it, where that is told no size of its own (`a third of an acre house is
    1800`), else the one shortly before it."""
    surfaces = [(name, start, end) for name, start, end in line.names if name.type == "surface"]
    at = [one.start for one in line.amounts]
    heads = {name for name, _, end in surfaces if end == reading.start}  # `house 2400 drive 900`: names come first
    behind = next(
        (
            name
            for name, start, end in surfaces
            if start == reading.end
            and _TOLD_SIZE.isdisjoint(line.words[end : end + 1])
            and not (heads and (end in at or name.id == _GRASS))
        ),
        None,
    )
    before = [
        name for name, _, end in surfaces if 0 <= reading.start - end <= 3 and not _amount_between(line, end, reading)
    ]
    return behind or (before[-1] if before else None)


def _amount_between(line: Line, end: int, reading: Reading) -> bool:
    return any(end <= other.start < reading.start for other in line.amounts if other.amount.kind in _OPEN_SIZED)


def _take_off_what_is_no_grass(line: Line, spoken: list[int]) -> None:
    """A house or a pool beside a lot is no lawn, whether or not a minus was said; a plus keeps it."""
    pieces = [place for place, reading in enumerate(line.amounts) if reading.amount.kind in _OPEN_SIZED]
    bare = [place for place in pieces if line.amounts[place].amount.of]
    if len(bare) == len(pieces):
        return
    for place in bare:
        if place not in spoken:
            reading = line.amounts[place]
            line.amounts[place] = replace(reading, amount=replace(reading.amount, sign=-1))
    for place in pieces:
        if place not in bare and all(line.amounts[other].amount.sign < 0 for other in pieces):
            reading = line.amounts[place]
            line.amounts[place] = replace(reading, amount=replace(reading.amount, sign=1))


def _repeat(line: Line) -> None:
    """`two beds 5x10`, `2 flower beds 4 by 8 each`: the piece counts so many times."""
    made: list[Reading] = []
    for reading in line.amounts:
        if reading.amount.of == "piece" and reading.amount.kind == "count":
            continue  # `3 pieces: 30x40, 22x18, 15x15` only counts what follows
        before = made[-1] if made else None
        count = before.amount if before else None
        if (
            count
            and before
            and reading.amount.kind in _OPEN_SIZED
            and count.kind in ("number", "count")
            and _counts(line, before, reading)
        ):
            made.pop()
            many = int(count.low)
            made += [reading] * many if many <= _MOST_PIECES else [_so_many(reading, count)]
        else:
            made.append(reading)
    line.amounts = made


def _so_many(piece: Reading, count: Amount) -> Reading:
    """`30 lawns of 5,000 sq ft`: the area of all of them."""
    one = area_of(piece.amount) if piece.amount.kind == "size" else piece.amount
    text = f"{count.text} x {one.text}"
    return replace(piece, amount=replace(one, low=one.low * count.low, high=one.high * count.low, text=text))


def _counts(line: Line, count: Reading, piece: Reading) -> bool:
    """True for a small whole number right before the name of the piece, or before the piece itself."""
    value = count.amount.low
    named = count.end <= piece.start <= count.end + 4
    words = line.words[count.start : piece.start]
    each = "each" in words or line.words[piece.end : piece.end + 1] in (["ea"], ["each"], ["apiece"])
    of = each or bool({"of", "at", "@"} & set(words))
    surface = each or bool(piece.amount.of) or bool(_PIECES & set(words)) or (of and bool(_LAWNS & set(words)))
    return (
        named
        and surface
        and value == int(value)
        and 2 <= value <= (_MOST_LAWNS if of else _MOST_PIECES)
        and not set(words) & ({";", "."} if each else {",", ";", "."})
    )


def _words_between(line: Line, start: int, end: int) -> list[str]:
    """The words from one place to another; the hyphen of `pro-rated` takes nothing off."""
    tokens = line.tokens
    return [
        token.text
        for place, token in enumerate(tokens[start:end], start)
        if token.text != "-" or token.spaced or place + 1 >= len(tokens) or tokens[place + 1].kind != "word"
    ]


def _footage(line: Line, reading: Reading) -> bool:
    """`1400 sq ft house and 600 ft driveway`: so much ground, beside an area, though only feet are said."""
    amount = reading.amount
    named = any(name.type == "surface" and name.id != _GRASS and start == reading.end for name, start, _ in line.names)
    return named and amount.kind == "length" and amount.units == ("ft",) and amount.single and amount.low >= _FOOTAGE


def _bare_part(line: Line, reading: Reading, last_end: int) -> bool:
    """A bare number behind a minus, or named as a house or a drive: square feet to take off."""
    between = _words_between(line, last_end, reading.start)
    named = any(
        name.type == "surface" and name.id != "surface.ground" and 0 <= reading.start - end <= 2
        for name, _, end in line.names
    )
    off = any(word in _TAKES_OFF for word in between) or _phrase_takes_off(between)
    off = off and "only" not in between
    each = line.words[reading.end : reading.end + 1] in (["ea"], ["each"])  # two sides 600 ea
    return reading.amount.low >= 20 and (named or off or each)


def _phrase_takes_off(words: list[str]) -> bool:
    text = " ".join(words)
    return any(
        phrase in text
        for phrase in (
            "not counting",
            "take off",
            "taking off",
            "take out",
            "taking out",
            "knock off",
            "leave out",
            "leaving out",
            "don't count",
            "takes away",
            "take away",
        )
    )
