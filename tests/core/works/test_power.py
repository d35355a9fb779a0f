"""Power of the nights."""

from __future__ import annotations

import pytest

from giornata.core import works
from giornata.core.foundation import Severity, given
from giornata.core.works import Consumer, PowerSource, PowerTerms

HOUR, KWH = 3600.0, 3.6e6
N53 = works.NightTerms(set_up=0.0, tracing=90 / HOUR, hours=5.5 * HOUR, laptop=65)


def _plan(hours: float = 5.5) -> works.NightPlan:
    edge = given("edge", 90.0 * hours, "m", source="N53")
    plan, _ = works.night_plan([edge], N53)
    assert plan is not None
    return plan


def _codes(terms: PowerTerms, hours: float = 5.5, projector: float = 320.0) -> list[str]:
    made = works.power_plan(projector, N53, _plan(hours), terms)
    return [one.code for one in works.power_findings(made, terms, projector)]


def test_n53_energy_of_the_night_and_battery_hours() -> None:
    # (320 + 65) W × 5.5 h = 2.1 kWh; 1 kWh by its plate lasts 1000 / 385 = 2.6 h.
    terms = PowerTerms(source=PowerSource.BATTERY, battery=KWH)
    made = works.power_plan(320.0, N53, _plan(), terms)
    assert float(made.load) == 385.0
    assert float(made.energy) / KWH == pytest.approx(2.1, abs=0.05)
    assert made.printed_time is not None
    assert float(made.printed_time) / HOUR == pytest.approx(2.6, abs=0.005)
    # Through an inverter of 85 % and drawn to 80 %: 2.6 × 0.68 = 1.77 h; 2.12 / 0.68 = 3.1, so 4.
    assert made.battery_time is not None
    assert made.batteries is not None
    assert float(made.battery_time) / HOUR == pytest.approx(1.77, abs=0.005)
    assert float(made.batteries) == 4.0
    found = works.power_findings(made, terms, 320.0)
    assert [one.code for one in found] == ["works.battery_short", "works.power_outdoors"]
    assert "last 1.8 h at 385 W" in found[0].message
    assert "Bring 4," in found[0].remedy


def test_n53_enough_batteries_are_no_finding() -> None:
    four = PowerTerms(source=PowerSource.BATTERY, battery=KWH, batteries=4)
    assert _codes(four) == ["works.power_outdoors"]


def test_n53_without_a_source_there_are_load_and_energy() -> None:
    made = works.power_plan(320.0, N53, _plan(), None)
    assert (made.current, made.battery_time) == (None, None)
    assert float(made.energy) / KWH == pytest.approx(2.1175)


def _at(watts: float) -> PowerTerms:
    """A load that is exactly 16 A with the house's power factor, on 20 A."""
    others = (Consumer(name="lamps", power=watts - 385.0),)
    return PowerTerms(source=PowerSource.MAINS, circuit=20.0, voltage=120.0, others=others)


def test_n53_a_continuous_load_takes_four_fifths_of_a_circuit() -> None:
    # NFPA 70, 210.20(A): 16 A × 1.25 = 20 A. 16 A at 120 V and factor 0.9 are 1,728 W.
    assert _codes(_at(1728.0)) == ["works.power_outdoors"]
    assert _codes(_at(1740.0)) == ["works.circuit_overloaded", "works.power_outdoors"]
    # For less than three hours all 20 A may be taken (2,160 W), not more.
    assert _codes(_at(1740.0), hours=2.9) == ["works.power_outdoors"]
    assert _codes(_at(2170.0), hours=2.9) == ["works.circuit_overloaded", "works.power_outdoors"]


def test_n53_an_inverter_with_too_little_to_spare() -> None:
    # 385 W for 5.5 h want 385 / 0.8 = 481 W.
    small = PowerTerms(source=PowerSource.GENERATOR, rating=480.0)
    made = works.power_plan(320.0, N53, _plan(), small)
    found = works.power_findings(made, small, 320.0)
    assert [one.code for one in found] == ["works.inverter_small", "works.power_outdoors"]
    assert "rated 481 W" in found[0].remedy
    assert "refuel it cold" in found[1].remedy
    large = PowerTerms(source=PowerSource.GENERATOR, rating=482.0)
    assert _codes(large) == ["works.power_outdoors"]


@pytest.mark.parametrize(("watts", "severity"), [(320.0, Severity.NOTE), (350.0, Severity.WARN)])
def test_n53_an_idling_vehicle(watts: float, severity: Severity) -> None:
    terms = PowerTerms(source=PowerSource.VEHICLE)
    made = works.power_plan(watts, N53, _plan(), terms)
    found = works.power_findings(made, terms, watts)
    assert [one.code for one in found] == ["works.idling_vehicle", "works.power_outdoors"]
    assert found[0].severity is severity
    assert "Exhaust gas kills" in found[0].remedy


def test_cautions_defer_to_codes_and_licensed_practice() -> None:
    for source in PowerSource:
        terms = PowerTerms(source=source, battery=10 * KWH)
        made = works.power_plan(320.0, N53, _plan(), terms)
        last = works.power_findings(made, terms, 320.0)[-1]
        for word in ("30 mA", "GFCI", "Local electrical codes", "licensed electrician"):
            assert word in last.remedy


def test_n53_power_outdoors_has_its_caution() -> None:
    # N53 asks for the power; a caution goes with it before anybody has decided where it comes from.
    made = works.power_plan(320.0, N53, _plan(), None)
    (caution,) = works.power_findings(made, None, 320.0)
    assert (caution.code, caution.severity) == ("works.power_outdoors", Severity.NOTE)
    assert "Local electrical codes" in caution.remedy
    assert "generator" not in caution.remedy
    assert works.power_findings(made, None, 0.0) == ()


def test_a_projector_without_its_power() -> None:
    mains = PowerTerms(source=PowerSource.MAINS)
    assert _codes(mains, projector=0.0) == ["works.no_projector_power", "works.power_outdoors"]


def test_power_terms_in_range() -> None:
    with pytest.raises(ValueError, match="needs its energy"):
        PowerTerms(source=PowerSource.BATTERY)
    with pytest.raises(ValueError, match="are above 0"):
        PowerTerms(source=PowerSource.MAINS, circuit=0.0)
    with pytest.raises(ValueError, match="at most 100 %"):
        PowerTerms(source=PowerSource.MAINS, usable=1.1)
    with pytest.raises(ValueError, match="1 or more"):
        PowerTerms(source=PowerSource.MAINS, batteries=0)
    with pytest.raises(ValueError, match="0 W or more"):
        Consumer(name="lamp", power=-1.0)
    with pytest.raises(ValueError, match="0 W or more"):
        works.power_plan(-1.0, N53, _plan(), None)
