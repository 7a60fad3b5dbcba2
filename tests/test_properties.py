"""What must hold of the trade's arithmetic whatever the figures are, before anything is rounded for the hand."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculations import area, cost, feed, mowing, seed, soil, spray, water, weather
from assistant.terms import Analysis, Range, over_range
from assistant.units import Q

amounts = st.floats(min_value=0.01, max_value=10_000, allow_nan=False)
lengths = st.floats(min_value=0.5, max_value=2_000)
shares = st.floats(min_value=1, max_value=100).map(lambda share: Q(share, "percent"))
areas = st.floats(min_value=1, max_value=5_000_000).map(lambda size: Q(size, "sq_ft"))
rates = amounts.map(lambda rate: Q(rate, "lb") / Q(1000, "sq_ft"))
liquid_rates = amounts.map(lambda rate: Q(rate, "floz") / Q(1000, "sq_ft"))
carriers = st.floats(min_value=0.1, max_value=20).map(lambda rate: Q(rate, "gal") / Q(1000, "sq_ft"))
tanks = st.floats(min_value=0.5, max_value=1000).map(lambda size: Q(size, "gal"))
analyses = st.tuples(*[st.integers(min_value=1, max_value=33)] * 3).map(lambda three: Analysis(*three))
densities = st.floats(min_value=7, max_value=14).map(lambda weight: Q(weight, "lb") / Q(1, "gal"))


def same(one, other):
    return one.m_as(other.units) == pytest.approx(other.magnitude, rel=1e-9)


# area ----------------------------------------------------------------------------------------------------------------


@given(length=lengths, width=lengths)
def test_a_rectangle_measures_the_same_in_any_unit(length, width):
    feet = area.rectangle(Q(length, "ft"), Q(width, "ft"))
    assert same(area.rectangle(Q(length * 12, "inch"), Q(width / 3, "yd")), feet)
    assert same(area.rectangle(Q(length, "ft").to("m"), Q(width, "ft").to("m")), feet)


@given(base=lengths, height=lengths)
def test_two_triangles_make_a_rectangle(base, height):
    assert same(2 * area.triangle(Q(base, "ft"), Q(height, "ft")), area.rectangle(Q(base, "ft"), Q(height, "ft")))


@given(base=lengths, height=lengths)
def test_a_right_triangle_is_the_same_by_its_sides(base, height):
    sides = [Q(base, "ft"), Q(height, "ft"), Q(math.hypot(base, height), "ft")]
    assert area.triangle_of_sides(sides).m_as("sq_ft") == pytest.approx(base * height / 2, rel=1e-4)


@given(size=areas)
def test_square_and_circle_hold_what_they_were_made_for(size):
    assert same(area.square(area.side_of_square(size)), size)
    assert same(area.circle(area.diameter_of_circle(size)), size)


@given(diameter=lengths)
def test_a_round_oval_is_a_circle(diameter):
    assert same(area.ellipse(Q(diameter, "ft"), Q(diameter, "ft")), area.circle(Q(diameter, "ft")))


@given(length=lengths, width=lengths)
def test_a_polygon_of_four_corners_is_a_rectangle(length, width):
    corners = [Q(one, "ft") for one in (0, 0, length, 0, length, width, 0, width)]
    assert same(area.polygon(corners), area.rectangle(Q(length, "ft"), Q(width, "ft")))


@given(size=areas, width=lengths)
def test_a_run_of_its_width_covers_the_area(size, width):
    assert same(area.rectangle(area.run_length(size, Q(width, "ft")), Q(width, "ft")), size)


# seed ----------------------------------------------------------------------------------------------------------------


@given(rate=rates, size=areas)
def test_twice_the_area_takes_twice_the_seed(rate, size):
    assert same(seed.seed_for(rate, 2 * size), 2 * seed.seed_for(rate, size))
    assert same(seed.seed_for(rate.to("kg / ha"), size.to("m**2")), seed.seed_for(rate, size))


@given(live=amounts, purity=shares, germination=shares)
def test_bag_seed_holds_the_live_seed_asked_for(live, purity, germination):
    bag = seed.bag_seed_for_live(Q(live, "lb"), purity, germination)
    assert same(bag * seed.pure_live(purity, germination).to(""), Q(live, "lb"))


@given(used=st.floats(min_value=5, max_value=95), done=st.floats(min_value=5, max_value=95))
def test_what_went_down_and_what_is_left_make_the_plan(used, done):
    used, done = Q(used, "percent"), Q(done, "percent")
    whole = seed.rate_so_far(used, done) * done.to("") + seed.rate_left(used, done) * (1 - done.to(""))
    assert whole.m_as("") == pytest.approx(1)


# feed ----------------------------------------------------------------------------------------------------------------


@given(target=rates, analysis=analyses, density=densities, which=st.sampled_from(feed.NUTRIENTS))
def test_the_product_carries_what_was_asked_for(target, analysis, density, which):
    assert same(feed.nutrient(feed.product_for(target, analysis, which), analysis, which), target)
    liquid = feed.product_for(target, analysis, which, density)
    assert same(feed.nutrient(liquid, analysis, which, density), target)


@given(rate=liquid_rates, size=areas)
def test_twice_the_area_takes_twice_the_product(rate, size):
    assert same(feed.spread_at(rate, 2 * size), 2 * feed.spread_at(rate, size))
    assert same(feed.spread_at(rate.to("L / ha"), size.to("acre")), feed.spread_at(rate, size))


@given(amount=amounts)
def test_oxide_and_element_turn_back(amount):
    assert same(feed.phosphate_of(feed.phosphorus(Q(amount, "lb"))), Q(amount, "lb"))
    assert same(feed.potash_of(feed.potassium(Q(amount, "lb"))), Q(amount, "lb"))


@given(quantity=amounts, rate=rates)
def test_an_amount_covers_the_area_that_takes_it(quantity, rate):
    assert same(feed.spread_at(rate, feed.area_covered(Q(quantity, "lb"), rate)), Q(quantity, "lb"))


@given(needed=amounts, pack=amounts)
def test_packs_are_enough_and_one_less_is_not(needed, pack):
    count = feed.packs(Q(needed, "lb"), Q(pack, "lb"))
    assert count * pack >= needed * (1 - 1e-9)
    assert (count - 1) * pack < needed


# spray ---------------------------------------------------------------------------------------------------------------


@given(tank=tanks, carrier=carriers, rate=liquid_rates)
def test_a_calibrated_tank_puts_down_the_labels_rate(tank, carrier, rate):
    product = spray.product_in_tank(tank, carrier, rate)
    assert same(product / spray.area_of_tank(tank, carrier), rate)
    assert same(spray.product_at_mix(spray.product_per_carrier(rate, carrier), tank), product)


@given(size=areas, carrier=carriers, tank=tanks)
def test_full_tanks_and_the_last_make_the_mix(size, carrier, tank):
    whole = spray.carrier_for(size, carrier)
    last = spray.last_part_tank(size, carrier, tank)
    full = round((whole - last).m_as("gal") / tank.m_as("gal"))
    assert (full * tank + last).m_as("gal") == pytest.approx(whole.m_as("gal"), rel=1e-6, abs=1e-6)


@given(
    flow=st.floats(min_value=0.05, max_value=5),
    pressure=st.floats(min_value=5, max_value=100),
    other=st.floats(min_value=5, max_value=100),
)
def test_pressure_there_and_back(flow, pressure, other):
    there = spray.flow_at_pressure(Q(flow, "gal / minute"), Q(pressure, "psi"), Q(other, "psi"))
    assert same(spray.pressure_for_flow(Q(flow, "gal / minute"), Q(pressure, "psi"), there), Q(other, "psi"))


@given(
    flow=st.floats(min_value=0.05, max_value=5),
    speed=st.floats(min_value=1, max_value=6),
    spacing=st.floats(min_value=5, max_value=40),
)
def test_the_nozzle_that_is_needed_gives_the_carrier(flow, speed, spacing):
    boom = (Q(speed, "mph"), Q(spacing, "inch"))
    carrier = spray.from_nozzle(Q(flow, "gal / minute"), *boom)
    assert same(spray.flow_needed(carrier, *boom), Q(flow, "gal / minute"))
    assert carrier.m_as("gal / acre") == pytest.approx(5940 * flow / (speed * spacing), rel=1e-3)


# water, soil, mowing, money, weather ------------------------------------------------------------------------------------


@given(depth=st.floats(min_value=0.01, max_value=5), rate=st.floats(min_value=0.05, max_value=5), size=areas)
def test_the_run_time_puts_down_the_depth(depth, rate, size):
    time = water.minutes_of_day(Q(depth, "inch"), Q(rate, "inch / hour"))
    assert same(time * Q(rate, "inch / hour"), Q(depth, "inch"))
    assert same(water.gallons_for_depth(Q(depth, "inch"), size) / size, Q(depth, "inch"))


@given(catches=st.lists(st.floats(min_value=1, max_value=100), min_size=4, max_size=40))
def test_uniformity_is_a_share_and_knows_no_unit(catches):
    share = water.low_quarter_uniformity([Q(one, "mL") for one in catches])
    assert 0 < share.m_as("percent") <= 100 + 1e-9
    assert same(water.low_quarter_uniformity([Q(one, "mL").to("floz") for one in catches]), share)


@given(lime=rates, value=shares)
def test_the_lime_product_neutralizes_what_was_called_for(lime, value):
    assert same(soil.lime_for_cce(lime, value) * value.to(""), lime)


@given(depth=st.floats(min_value=0.05, max_value=12), size=areas)
def test_a_volume_covers_the_area_it_was_made_for(depth, size):
    volume = soil.volume_for_depth(Q(depth, "inch"), size)
    assert same(soil.area_of_volume(volume, Q(depth, "inch")), size)
    assert same(soil.depth_of_volume(volume, size), Q(depth, "inch"))


@given(points=st.lists(st.floats(min_value=4.5, max_value=7), min_size=3, max_size=3))
def test_lime_in_two_steps_is_the_lime_in_one(points):
    low, between, high = sorted(points)
    table = [(Q(ph, ""), Q(amount, "lb")) for ph, amount in ((5.0, 110), (5.5, 75), (6.0, 35), (6.5, 0))]
    steps = [(low, between), (between, high), (low, high)]
    first, second, both = (soil.lime_between(table, Q(one, ""), Q(other, "")).m_as("lb") for one, other in steps)
    assert first + second == pytest.approx(both, abs=1e-9)
    assert both >= 0


@given(rain=st.floats(min_value=0.3, max_value=4), takes=st.floats(min_value=0.05, max_value=0.25))
def test_the_longest_run_leaves_no_more_standing_than_the_ground_holds(rain, takes):
    falls, intake, storage = Q(rain, "inch / hour"), Q(takes, "inch / hour"), Q(0.1, "inch")
    run = water.longest_run(falls, intake, storage)
    assert same((falls - intake) * run, storage)


@given(left=tanks, rinse=tanks, times=st.integers(min_value=1, max_value=5))
def test_one_more_rinse_dilutes_by_the_same_factor(left, rinse, times):
    once = spray.left_after_rinses(left, rinse, Q(1, ""))
    more = spray.left_after_rinses(left, rinse, Q(times, ""))
    assert more.m_as("") == pytest.approx(once.m_as("") ** times)


@given(weight=amounts, split=st.integers(min_value=1, max_value=99))
def test_the_parts_of_a_mix_weigh_the_mix(weight, split):
    parts = seed.parts_of_mix(Q(weight, "lb"), [Q(split, "percent"), Q(100 - split, "percent")])
    assert same(parts[0] + parts[1], Q(weight, "lb"))


@given(setting=st.floats(min_value=1, max_value=30), got=rates, wanted=rates)
def test_a_spreader_that_gave_the_rate_stays_where_it_is(setting, got, wanted):
    assert seed.setting_by_rates(Q(setting, ""), got, got).m_as("") == pytest.approx(setting)
    more = seed.setting_by_rates(Q(setting, ""), got, wanted)
    assert (more.m_as("") > setting) == (wanted > got) or more.m_as("") == pytest.approx(setting)


@given(height=st.floats(min_value=0.5, max_value=6))
def test_one_third_both_ways(height):
    tallest = mowing.tallest_before_cut(Q(height, "inch"), 1 / 3)
    assert same(mowing.lowest_cut(tallest, 1 / 3), Q(height, "inch"))


@given(money=amounts, margin=st.floats(min_value=1, max_value=90))
def test_the_price_leaves_the_margin(money, margin):
    price = cost.price_with_margin(Q(money, "USD"), Q(margin, "percent"))
    assert ((price - Q(money, "USD")) / price).m_as("percent") == pytest.approx(margin)


@given(high=st.floats(min_value=-20, max_value=120), low=st.floats(min_value=-20, max_value=120))
def test_degree_days_are_never_below_zero(high, low):
    days = weather.degree_days(Q(high, "degF"), Q(low, "degF"), Q(50, "degF"))
    assert days.m_as("delta_degF * day") >= 0
    celsius = weather.degree_days(Q(high, "degF").to("degC"), Q(low, "degF").to("degC"), Q(50, "degF").to("degC"))
    assert celsius.m_as("delta_degF * day") == pytest.approx(days.m_as("delta_degF * day"), abs=1e-6)


@given(air=st.floats(min_value=-5, max_value=45), moist=st.floats(min_value=5, max_value=99))
def test_the_wet_bulb_is_not_above_the_dry(air, moist):
    assert weather.delta_t(Q(air, "degC"), Q(moist, "percent")).m_as("delta_degC") > -1.1  # the fit errs by up to 1 C


@given(low=amounts, more=amounts, factor=amounts)
def test_a_range_carries_both_its_ends(low, more, factor):
    result = over_range(lambda rate, size: rate * size, Range(Q(low, "lb"), Q(low + more, "lb")), Q(factor, ""))
    assert isinstance(result, Range)
    assert same(result.low, Q(low * factor, "lb"))
    assert same(result.high, Q((low + more) * factor, "lb"))
