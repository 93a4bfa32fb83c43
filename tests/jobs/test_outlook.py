"""The battery outlook of a car: which findings count, the range in words, and the page."""

import datetime
import math

import pytest
from django.test import Client
from django.utils import timezone

from diagnostics.models import Battery, EarlierCapacity
from diagnostics.outlook import km_words, years_words
from jobs.models import Job
from jobs.outlook import give_battery, outlook_of
from network.access import acting_for
from tests import cast as made

pytestmark = pytest.mark.django_db
YEAR = datetime.timedelta(days=365.25)


@pytest.fixture
def member():
    return made.make_member(made.make_workshop(), live_work=True)


def car_of(member, *, years=10.0, km=150_000, drive="hybrid", **facts):
    """A car whose battery is so many years old, booked in today."""
    family = made.make_family(member.workshop, drive=drive)
    job = made.make_job(member, family, vehicle={"odometer_km": km} | facts)
    battery = Battery(in_use_since=timezone.localdate() - years * YEAR)
    battery.save()
    give_battery(job.vehicle, battery)
    return job


def measured(member, job, percent, *, days_ago=0, **values):
    at = timezone.now() - datetime.timedelta(days=days_ago)
    capacity = {"method": "bench", "measured_ah": 6.5 * percent / 100, "rated_ah": 6.5} | values
    meter = made.make_instrument(member.workshop, "A", 60, percent_of_reading=1)
    return made.make_record(
        member, job.sheet, "battery_capacity", capacity, taken_at=at, instrument_range=meter, state="bench"
    )


def earlier(battery, member, percent, *, years_ago, km=None):
    day = timezone.localdate() - years_ago * YEAR
    row = EarlierCapacity(
        battery=battery, found_on=day, odometer_km=km, capacity_percent=percent, method="in_car", words="paper"
    )
    return row.enter(by=member)


def test_half_at_ten_years_has_two_and_a_half_to_five_and_five_eighths_years_left(member):
    # calculations.md, "Checks against the outside": 52 % at ten years reaches 40 % in 2.5 years by the linear law and
    # in 5.625 by the square-root law. 150 000 km in ten years are 15 000 a year.
    with acting_for(member.workshop):
        job = car_of(member)
        measured(member, job, 52)
        known = outlook_of(job.vehicle)
    assert known.years == pytest.approx((2.5, 5.625), abs=0.01)
    assert known.km == pytest.approx((37_500, 84_375), rel=0.01)
    assert "in 2 to 6 years" in known.sentence or "in 2.5 to 6 years" in known.sentence
    assert "common practice, no source" in known.limit_words


def test_with_three_findings_the_interval_of_least_squares_through_one_hundred_widens_it(member):
    import numpy as np
    import statsmodels.api as sm

    with acting_for(member.workshop):
        job = car_of(member)
        for percent, ago in ((88, 7.5), (71, 4.0)):
            earlier(job.vehicle.battery, member, percent, years_ago=ago)
        measured(member, job, 52)
        known = outlook_of(job.vehicle)
    started = job.vehicle.battery.in_use_since
    ages = np.array([(one.on - started).days / 365.25 for one in known.found])
    low, high = sm.OLS([12, 29, 48], ages).fit().conf_int(0.05)[0]  # statsmodels, the outside
    assert known.laws.linear_low == pytest.approx(60 / high - ages[-1], rel=1e-6)
    assert known.laws.linear_high == pytest.approx(60 / low - ages[-1], rel=1e-6)
    assert known.interval[0] <= known.laws.linear_low and known.interval[1] >= known.laws.linear_high
    assert known.interval[0] <= known.years[0] <= known.years[1] <= known.interval[1]
    assert "years" in known.interval_words
    assert known.chart.interval


def test_what_is_no_figure_of_the_battery_is_listed_and_does_not_count(member):
    overdue = made.make_instrument(member.workshop, "A", 60, due_in_days=-3)
    with acting_for(member.workshop):
        job = car_of(member)
        measured(member, job, 52)
        values = {"method": "bench", "measured_ah": 5.0, "rated_ah": 6.5}
        made.make_record(member, job.sheet, "battery_capacity", values, instrument_range=overdue)
        known = outlook_of(job.vehicle)
    assert len(known.found) == 2
    assert [round(one.percent) for one in known.counted] == [52]
    assert "calibration has run out" in next(one.why_not for one in known.found if one.why_not)


def test_time_goes_on_after_the_newest_finding(member):
    with acting_for(member.workshop):
        job = car_of(member)
        measured(member, job, 52, days_ago=365.25 * 2)
        known = outlook_of(job.vehicle)
    # At eight years 52 %: linear 60 / 6 = 10 years, that is two after the finding, so now.
    assert known.years[0] == pytest.approx(0.0, abs=0.01)
    assert "at any time now" in known.sentence


def test_an_exchanged_battery_forgets_the_old_one(member):
    with acting_for(member.workshop):
        job = car_of(member, years=1)
        earlier(job.vehicle.battery, member, 41, years_ago=2)
        measured(member, job, 98)
        known = outlook_of(job.vehicle)
    assert [round(one.percent) for one in known.found] == [98]


def test_the_same_vin_on_a_later_visit_is_the_same_car(member):
    vin = "JH2RC3605MM101581"
    with acting_for(member.workshop):
        first = car_of(member, km=100_000, vin=vin)
        measured(member, first, 60, days_ago=700)
        second = made.make_job(member, first.vehicle.family, vehicle={"vin": vin, "odometer_km": 130_000})
        measured(member, second, 52)
        known = outlook_of(second.vehicle)
    assert [(round(one.percent), one.km) for one in known.found] == [(60, 100_000), (52, 130_000)]


def test_without_a_day_or_a_finding_the_sentence_asks_for_it(member):
    with acting_for(member.workshop):
        job = made.make_job(member, made.make_family(member.workshop))
        assert "Nobody has found" in outlook_of(job.vehicle).sentence
        measured(member, job, 52)
        assert "Since when it is in use" in outlook_of(job.vehicle).sentence


def test_an_electric_car_has_seventy_percent_unless_the_maker_says_otherwise(member, settings):
    with acting_for(member.workshop):
        job = car_of(member, drive="electric")
        assert outlook_of(job.vehicle).limit.value == 70
        job.vehicle.family.limits.create(
            kind="battery_capacity", quantity="state_of_health", shape="minimum", value=75, unit="%",
            source="Lanner warranty terms", authority="maker", entered_by=member.workshop,
        )  # fmt: skip
        assert outlook_of(job.vehicle).limit_words == "75 % (the maker: Lanner warranty terms)"


def test_years_and_kilometres_are_rounded_outwards():
    assert (years_words(2.3, up=False), years_words(5.6, up=True), years_words(math.inf, up=True)) == ("2", "6", "20+")
    assert (km_words(37_400, up=False), km_words(84_100, up=True)) == ("37\u202f000", "85\u202f000")


def test_the_page_takes_the_day_and_an_earlier_paper_and_answers_first(member):
    family = made.make_family(member.workshop)
    job = made.make_job(member, family)
    client = Client()
    client.force_login(member.person)
    path = f"/vehicles/{job.vehicle_id}/battery/"
    day = (timezone.localdate() - 10 * YEAR).isoformat()
    refused = client.post(path, {"what": "battery", "in_use_since": "2999-01-01", "km_when_new": "0"})
    assert refused.status_code == 422 and "between 1990 and today" in refused.content.decode()
    client.post(path, {"what": "battery", "in_use_since": day, "km_when_new": "0"})
    paper = {"found_on": timezone.localdate().isoformat(), "odometer_km": "150000", "capacity_percent": "52"}
    client.post(path, {"what": "earlier", "method": "bench", "words": "owner’s paper"} | paper)
    page = client.get(path).content.decode()
    assert "to 6 years" in page and "owner’s paper" in page
    with acting_for(member.workshop):
        finding = EarlierCapacity.objects.get()
        assert Job.objects.get(pk=job.pk).vehicle.battery_id == finding.battery_id
    client.post(path, {"what": "take_out", "finding": finding.pk})
    assert "Nobody has found" in client.get(path).content.decode()


def test_a_battery_on_the_bench_has_its_outlook_by_serial_number(member):
    family = made.make_family(member.workshop)
    sheets = [made.make_sheet(member, "Battery", part_serial="LN 014-9", family=family) for _again in range(2)]
    for sheet, ah in zip(sheets, (4.0, 3.38), strict=True):
        made.make_record(member, sheet, "battery_capacity", {"method": "bench", "measured_ah": ah, "rated_ah": 6.5},
                         instrument_range=made.make_instrument(member.workshop, "A", 60))  # fmt: skip
    client = Client()
    client.force_login(member.person)
    path = f"/sheets/{sheets[0].pk}/battery/"
    day = (timezone.localdate() - 10 * YEAR).isoformat()
    client.post(path, {"what": "battery", "in_use_since": day, "km_when_new": "0"})
    page = client.get(path).content.decode()
    assert page.count("our record 1") == 2 and "years." in page
