"""What the words around a figure or a name make of it: a day in the past, degrees that nobody said, a place ruled out."""

from __future__ import annotations

from calendar import isleap
from dataclasses import replace
from datetime import date, timedelta

from assistant.parsing.dates import COMING, NEAREST, OF_ITS_NUMBER
from assistant.parsing.line import LESSER_PART, OF_PLACES, Line
from assistant.terms import FAHRENHEIT, HOT_IN_CELSIUS, YOUNG_DAYS, Name, Now

_PAST = {"~seeded", "~did", "~gone_by", "~late", "~early", "~skipped"}
_TO_COME = {"~seeding", "~may_i", "~when", "~what_if", "~ahead", "~moved"}
_OPEN_DAYS = (COMING, NEAREST, OF_ITS_NUMBER)  # days that may be those before, for their year or month was not said
_LEAP_DAY = (2, 29)
_SOON = 60  # days ahead within which a day of the year is meant as it stands, whatever the tense
_UNTIL = {"til", "till", "until"}
_HUNDRED = 100.0
_YOUNG = "young.seedlings"
_GROWS = {"grass", "lawn", "it", "its", "it's", "turf", "stand", "seedlings", "seeding", "sod", "yard"}
_NEAR_GRASS = 4  # words between it and its age
_DAYS_OF = {"day": 1, "week": 7, "month": 30}
_GOT = {"got", "get", "gets", "getting", "dropped", "drops", "went", "goes", "going", "fell", "dipped"}
_SAYS = {"says", "said", "reads", "read", "shows", "showed", "is"}
_TESTED = {"kit", "meter", "strip", "probe", "lab"}  # what a pH is read off
_SOUREST, _SWEETEST = 3.5, 9.5
_HEAT = {"max", "min", "maximum", "minimum", "high", "low", "hi", "lo", "tmax", "tmin", "base", "mean"}
_WAS = {"was", "were"}
_ARE = {*_WAS, "are", "is"}
_MOVED = {"~moved", "~moved_it"}
_FROZEN, _FROST_COMING = "weather.frozen", "weather.frost_coming"
_WHITE = {"frost", "frosty", "hard freeze", "freeze"}
_AHEAD = {"tonight", "tomorrow", "overnight", "later", "coming", "forecast", "expected", "predicted"}
_GROUND, _SIDE, _OTHER_PLACES = "surface.ground", "place.side", {"place.front", "place.back"}
_BACK, _ARTICLES = "place.back", {"the", "my", "our"}


def _without_its_end(line: Line) -> None:
    """`no rain til monday`: the day belongs to the weather, and is none that is asked about."""
    weather = {end for name, _, end in line.names if name.type == "weather" and line.words[end - 1] in _UNTIL}
    line.amounts = [one for one in line.amounts if not (one.amount.kind == "date" and one.start in weather)]


def _frost_to_come(line: Line) -> None:
    """`frost tonight`: the ground is not frozen yet."""
    for place, (name, start, end) in enumerate(line.names):
        beside = {*line.words[max(0, start - 2) : start], *line.words[end : end + 2]}
        if name.id == _FROZEN and name.text.lower() in _WHITE and not beside.isdisjoint(_AHEAD):
            line.names[place] = (replace(name, id=_FROST_COMING), start, end)


def _not_there(line: Line) -> None:
    """`the back got fed, not the front`: the place that is ruled out behind the one that is meant."""
    places = sorted((one for one in line.names if one[0].type in OF_PLACES), key=lambda one: one[1])
    for name, start, end in places[1:]:
        first = start - 2 if line.words[start - 1] in _ARTICLES else start - 1
        if first > 0 and line.words[first] == "not":
            line.names.remove((name, start, end))
            line.meanings = [one for one in line.meanings if one.start != first]
            line.terms = {term for one in line.meanings for term in one.terms}


def _side_of_a_lot(line: Line) -> None:
    """`mowed front, back and side`: beside other places of a lot it is one of them."""
    if any(name.id in _OTHER_PLACES for name, _, _ in line.names):
        for place, (name, start, end) in enumerate(line.names):
            if name.id == _GROUND and name.text.lower() == "side":
                line.names[place] = (replace(name, id=_SIDE), start, end)


def _cold_nights(line: Line) -> None:
    """`it got down to 36`: degrees, which need not be said."""
    for place, reading in enumerate(line.amounts):
        got, *down = line.words[max(0, reading.start - 3) : reading.start] or [""]
        if reading.amount.kind == "number" and down == ["down", "to"] and got in _GOT:
            degrees = replace(reading.amount, kind="temperature", units=("degF",), assumed=FAHRENHEIT)
            line.amounts[place] = replace(reading, amount=degrees)


def _sour_ground(line: Line) -> None:
    """`my test kit says 5.8`: a pH, which need not be said."""
    for place, reading in enumerate(line.amounts):
        before = line.words[max(0, reading.start - _NEAR_GRASS) : reading.start]
        told = not _SAYS.isdisjoint(before[-1:]) and not _TESTED.isdisjoint(before)
        if (
            told
            and reading.amount.kind == "number"
            and _SOUREST <= reading.amount.low <= reading.amount.high < _SWEETEST
        ):
            line.amounts[place] = replace(reading, amount=replace(reading.amount, kind="ph"))


def _moved_back(line: Line) -> None:
    """`push it back two days`: where something is moved the back is a lawn only with its article."""
    if not line.terms.isdisjoint(_MOVED):
        line.names = [one for one in line.names if one[0].id != _BACK or line.words[one[1] - 1] in _ARTICLES]


def _past_days(line: Line, now: Now) -> None:
    """A day without a year or week that was spoken of in the past lies in the past."""
    done = any(name.type == "deed" or _is_past_job(name) for name, _, _ in line.names)  # told in the past tense
    corrected = "~put_right" in line.terms and not _WAS.isdisjoint(line.words)  # no, it was friday
    corrected |= any(
        not _WAS.isdisjoint(line.words[one.start - 1 : one.start]) for one in line.amounts
    )  # seed day was friday
    down = any(line.words[one.start - 1 : one.start] == ["down"] for one in line.amounts)  # urea down tuesday
    if not (done or corrected or down or line.terms & _PAST) or line.terms & _TO_COME:
        return
    for place, reading in enumerate(line.amounts):
        amount = reading.amount
        if amount.kind != "date" or amount.assumed not in _OPEN_DAYS or amount.low <= now.day.isoformat():
            continue
        earlier = _the_one_before(amount.day, amount.assumed, now.day)
        if earlier:
            day = earlier.isoformat()
            line.amounts[place] = replace(reading, amount=replace(amount, low=day, high=day, assumed="the last one"))


def _is_past_job(name: Name) -> bool:
    """`overseeded the 20th`, which is done, beside `overseed it the 20th`, which is to be."""
    return name.type == "job" and name.text.endswith("ed")


def _the_one_before(day: date, taken: str, today: date) -> date | None:
    """The last day of that name that is over, of one of `_OPEN_DAYS`; None where no other is meant."""
    if taken == COMING:
        return day - timedelta(days=7)
    if taken == NEAREST:
        years = next(n for n in range(1, 9) if (day.month, day.day) != _LEAP_DAY or isleap(day.year - n))
        return None if (day - today).days <= _SOON else day.replace(year=day.year - years)
    last = day.replace(day=1)
    while last + timedelta(days=day.day - 1) > today or (last + timedelta(days=day.day - 1)).day != day.day:
        last = (last - timedelta(days=1)).replace(day=1)  # a month that has that day
    return last.replace(day=day.day)


def _in_metric(line: Line) -> None:
    """`19 degrees, wind 12 km/h`: degrees without a scale are Celsius where the rest of the line is metric, and sides without
    a measure are in metres: `20 m by 35 m less a pool of 8 by 4`."""
    if not any(one.amount.is_metric for one in line.amounts):
        return
    celsius = any(one.amount.units == ("degC",) for one in line.amounts)
    for place, reading in enumerate(line.amounts):
        amount = reading.amount
        if amount.kind == "size" and amount.assumed == "feet":
            line.amounts[place] = replace(reading, amount=replace(amount, units=("m",), assumed="metres"))
        of_heat = not _HEAT.isdisjoint(line.words[max(0, reading.start - 1) : reading.start + 1])
        if amount.kind == "number" and of_heat and celsius:
            line.amounts[place] = replace(reading, amount=replace(amount, kind="temperature", units=("degC",)))
        if amount.kind == "temperature" and amount.assumed == FAHRENHEIT and float(amount.high) <= HOT_IN_CELSIUS:
            line.amounts[place] = replace(reading, amount=replace(amount, units=("degC",), assumed="Celsius"))


def _shares_of_grasses(line: Line) -> None:
    """`60 tttf 40 kbg`: bare figures before grasses, which make a hundred together, are percents."""
    grasses = {start for name, start, _ in line.names if name.type == "species"}
    found = [place for place, one in enumerate(line.amounts) if one.amount.kind == "number" and one.end in grasses]
    if len(found) < 2 or sum(float(line.amounts[place].amount.high) for place in found) != _HUNDRED:
        return
    for place in found:
        reading = line.amounts[place]
        line.amounts[place] = replace(reading, amount=replace(reading.amount, kind="percent", units=("percent",)))


def _of_its_age(line: Line) -> None:
    """`grass is 3 weeks old`, `seedlings 3 weeks`: it is young grass, as if it were named so."""
    for reading in line.amounts:
        amount = reading.amount
        said = [word for word in line.words[: reading.start] if word not in _ARE]
        told = line.words[reading.end : reading.end + 1] == ["old"] or said[-1:] == ["seedlings"]
        old = told and amount.kind == "duration"
        of_grass = not _GROWS.isdisjoint(line.words[max(0, reading.start - _NEAR_GRASS) : reading.start])
        if old and of_grass and float(amount.high) * _DAYS_OF.get(amount.unit, YOUNG_DAYS) < YOUNG_DAYS:
            line.names.append((Name(_YOUNG, amount.text, amount.span), reading.start, reading.end + 1))


def _larger_part(line: Line) -> None:
    """`seeded tttf kbg 90/10`: a record holds one grass, which is the larger part of the mix that was sown."""
    grasses = [place for place, (name, _, _) in enumerate(line.names) if name.type == "species"]
    shares = next((reading.amount.low for reading in line.amounts if reading.amount.kind == "percents"), ())
    if line.asks or "~seeded" not in line.terms or not isinstance(shares, tuple) or len(shares) != len(grasses):
        return
    for place, share in zip(grasses, shares, strict=True):
        name, start, end = line.names[place]
        if share < max(shares):
            line.names[place] = (replace(name, id=f"{LESSER_PART}.{name.id.partition('.')[2]}"), start, end)


def of_grasses(line: Line) -> None:
    """What a grass makes of the figure beside it: its share of a mix, or its age."""
    _shares_of_grasses(line)
    _larger_part(line)
    _of_its_age(line)


def as_meant(line: Line, now: Now) -> None:
    """All figures and names of a line as its words mean them."""
    _without_its_end(line)
    _frost_to_come(line)
    _not_there(line)
    _moved_back(line)
    _side_of_a_lot(line)
    _cold_nights(line)
    _sour_ground(line)
    _past_days(line, now)
    _in_metric(line)
