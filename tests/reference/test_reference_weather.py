"""The air over a wet hull against handbooks, papers and other programs."""

from __future__ import annotations

import math

import psychrolib
from checks import agree, checked, same

from hulllog.trade import weather

ASHRAE = "ASHRAE Handbook Fundamentals 2017"
WMO = "WMO-No. 8"
AMS = "AMS Glossary of Meteorology"
KELVIN = 273.15


def _in_si() -> None:
    """Put psychrolib in SI, in each check, so that each can run alone."""
    psychrolib.SetUnitSystem(psychrolib.SI)


@checked(weather.saturation_pressure, ASHRAE, "published", where="chapter 1 Table 3")
def test_saturation_of_the_handbook() -> None:
    for celsius, pascal in ((-20, 103.24), (-5, 401.74)):
        agree(weather.saturation_pressure(celsius, "ice").value * 100, pascal, rel=3e-4)
    for celsius, pascal in ((5, 872.6), (50, 12351.3)):
        agree(weather.saturation_pressure(celsius).value * 100, pascal, rel=1.1e-3)
    agree(weather.saturation_pressure(25).value * 100, 3169.7, rel=3.2e-3)


@checked(
    weather.saturation_pressure, "Murphy and Koop 2005", "published",
    where="Q. J. R. Meteorol. Soc. 131, equation 10",
)  # fmt: skip
def test_saturation_of_murphy_and_koop() -> None:
    def theirs(celsius: float) -> float:
        t = celsius + KELVIN
        water = 54.842763 - 6763.22 / t - 4.210 * math.log(t) + 0.000367 * t
        bend = 53.878 - 1331.22 / t - 9.44523 * math.log(t) + 0.014025 * t
        return math.exp(water + math.tanh(0.0415 * (t - 218.8)) * bend) / 100

    for celsius in (-10, 0, 10, 20, 30, 40, 50):
        agree(weather.saturation_pressure(celsius).value, theirs(celsius), rel=3.2e-3)


@checked(weather.saturation_pressure, "psychrolib", "library", where="GetSatVapPres")
def test_saturation_of_psychrolib() -> None:
    _in_si()
    for celsius in (-30, -15, -5):
        ours = weather.saturation_pressure(celsius, "ice").value * 100
        agree(ours, psychrolib.GetSatVapPres(celsius), rel=1e-3)
    for celsius in (2, 10, 20, 40):
        ours = weather.saturation_pressure(celsius).value * 100
        agree(ours, psychrolib.GetSatVapPres(celsius), rel=3.2e-3)


@checked(
    weather.vapour_pressure,
    "Humidity conversion formulas",
    "published",
    where="humidity conversions",
)
def test_vapour_pressure_of_the_formula_sheet() -> None:
    for air, humidity in ((5, 40), (10, 70), (20, 50), (30, 60), (40, 50)):
        theirs = humidity / 100 * 6.116441 * 10 ** (7.591386 * air / (air + 240.7263))
        agree(weather.vapour_pressure(air, humidity).value, theirs, rel=2.5e-3)


@checked(weather.vapour_pressure, "psychrolib", "library", where="GetVapPresFromRelHum")
def test_vapour_pressure_of_psychrolib() -> None:
    _in_si()
    for air, humidity in ((5, 40), (20, 50), (35, 80)):
        theirs = psychrolib.GetVapPresFromRelHum(air, humidity / 100)
        agree(weather.vapour_pressure(air, humidity).value * 100, theirs, rel=3.2e-3)


@checked(weather.dew_point, "psychrolib", "library", where="GetTDewPointFromRelHum")
def test_dew_point_of_psychrolib() -> None:
    _in_si()
    for air, humidity in ((20, 45), (25, 70), (30, 40), (40, 30), (15, 85)):
        theirs = psychrolib.GetTDewPointFromRelHum(air, humidity / 100)
        agree(weather.dew_point(air, humidity).value, theirs, abs_=0.025)


@checked(
    weather.dew_point, WMO, "published", where="Annex 4.B, as a weather station's manual has it"
)
def test_dew_point_of_the_guide() -> None:
    for air, humidity in ((20, 60), (5, 85), (35, 40), (-10, 70)):
        gamma = math.log(humidity / 100) + 17.62 * air / (243.12 + air)
        agree(weather.dew_point(air, humidity).value, 243.12 * gamma / (17.62 - gamma))


@checked(
    weather.dew_point,
    "Humidity conversion formulas",
    "published",
    where="humidity conversions",
)
def test_dew_point_of_the_formula_sheet() -> None:
    for air, humidity in ((20, 50), (20, 85), (30, 60), (40, 50)):
        power = humidity / 100 * 10 ** (7.591386 * air / (air + 240.7263))
        theirs = 240.7263 / (7.591386 / math.log10(power) - 1)
        agree(weather.dew_point(air, humidity).value, theirs, abs_=0.01)


@checked(weather.dew_point, "AZMET dewpoint formulas", "published", where="17.27 and 237.3")
def test_dew_point_of_the_weather_network() -> None:
    for air, humidity in ((20, 60), (10, 85), (35, 30)):
        b = (math.log(humidity / 100) + 17.27 * air / (237.3 + air)) / 17.27
        ours = weather.dew_point(air, humidity, "tetens").value
        agree(ours, 237.3 * b / (1 - b))


@checked(weather.dew_point, "MetPy 1.7.1", "library", where="figures worked out with it")
def test_dew_point_of_metpy() -> None:
    for air, humidity, theirs in ((20, 60, 11.99), (20, 85, 17.39), (22, 70, 16.26)):
        agree(weather.dew_point(air, humidity).value, theirs, abs_=0.016)


@checked(weather.dew_point, "CoolProp 8.0.0", "library", where="figures worked out with it")
def test_dew_point_of_coolprop() -> None:
    for air, humidity, printed in ((20, 70, 14.37), (20, 60, 12.01), (20, 80, 16.45)):
        agree(weather.dew_point(air, humidity).value, printed, abs_=0.016)


@checked(weather.dew_point, "Taupunkttabelle 2-30 °C", "published", where="printed to 0.1 °C")
def test_dew_point_of_the_printed_table() -> None:
    for air, humidity, printed in (
        (20, 50, "9.3"),
        (20, 60, "12.0"),
        (20, 70, "14.4"),
        (20, 85, "17.4"),
        (25, 85, "22.3"),
        (30, 85, "27.2"),
        (10, 70, "4.8"),
    ):
        agree(weather.dew_point(air, humidity).value, printed)


@checked(weather.frost_point, "psychrolib", "library", where="GetTDewPointFromVapPres, over ice")
def test_frost_point_of_psychrolib() -> None:
    _in_si()
    for air, humidity in ((0, 85), (-5, 70), (5, 40), (-15, 60)):
        vapour = weather.vapour_pressure(air, humidity).value * 100
        theirs = psychrolib.GetTDewPointFromVapPres(air, vapour)
        agree(weather.frost_point(air, humidity).value, theirs, abs_=2e-3)


@checked(weather.frost_point, ASHRAE, "published", where="chapter 1 Table 3")
def test_frost_point_of_the_handbook() -> None:
    for celsius, pascal in ((-20, 103.24), (-5, 401.74)):
        humidity = pascal / weather.saturation_pressure(10).value
        agree(weather.frost_point(10, humidity).value, float(celsius), abs_=5e-3)


@checked(weather.margin, "psychrolib", "library", where="GetTDewPointFromRelHum")
@checked(weather.lowest_surface, "psychrolib", "library", where="GetTDewPointFromRelHum")
def test_margin_of_psychrolib() -> None:
    _in_si()
    for air, humidity in ((20, 45), (25, 70), (30, 40)):
        dew = psychrolib.GetTDewPointFromRelHum(air, humidity / 100)
        agree(weather.margin(air, air, humidity).value, air - dew, abs_=0.025)
        agree(weather.lowest_surface(air, humidity).value, dew + 3, abs_=0.025)


@checked(
    weather.lowest_surface, "Taupunkt-Tabelle", "from memory", where="least surface temperature"
)
def test_lowest_surface_of_the_table() -> None:
    agree(weather.lowest_surface(20, 70).value, "17.4")
    agree(weather.lowest_surface(10, 90).value, "11.4")


@checked(weather.highest_humidity, "psychrolib", "library", where="GetSatVapPres")
def test_highest_humidity_of_psychrolib() -> None:
    _in_si()
    for air in (5, 10, 20, 30):
        theirs = 100 * psychrolib.GetSatVapPres(air - 3) / psychrolib.GetSatVapPres(air)
        agree(weather.highest_humidity(air).value, theirs, rel=7e-4)
    agree(weather.highest_humidity(10, 20).value, 100.0)


@checked(weather.rules, "ISO 12944-7", "published", where="3 °C and 85 %, with ISO 8502-4")
def test_the_two_rules_at_their_edges() -> None:
    for surface, humidity, over, damp in (
        (20.0 + 2.99, 100, False, False),
        (20.0 + 3.0, 100, True, False),
        (30.0, 85.0, True, True),
        (30.0, 85.1, True, False),
    ):
        met = [rule.met for rule in weather.rules(surface, 20, humidity)]
        same(met, [over, damp])
    agree(weather.rules(23.0, 20, 100)[0].found, 3.0)
    agree(weather.rules(23.0, 20, 70)[1].found, 70.0)


@checked(weather.dew_point, "Bolton 1980", "from memory", where="17.67 and 243.5")
def test_dew_point_of_bolton() -> None:
    for air, humidity in ((20, 60), (35, 40)):
        gamma = math.log(humidity / 100) + 17.67 * air / (243.5 + air)
        ours = weather.dew_point(air, humidity, "bolton").value
        agree(ours, 243.5 * gamma / (17.67 - gamma))


@checked(weather.humidity_by_wet_bulb, AMS, "published", where="psychrometric formula")
@checked(weather.dew_point_by_wet_bulb, AMS, "published", where="psychrometric formula")
@checked(weather.wet_bulb, AMS, "published", where="psychrometric formula")
def test_psychrometer_of_the_glossary() -> None:
    for dry, wet, pressure in ((21, 17, 1013.25), (30, 18, 1000.0), (12, 11, 1030.0)):
        at_wet = 6.112 * math.exp(17.62 * wet / (243.12 + wet))
        vapour = at_wet - 6.60e-4 * (1 + 0.00115 * wet) * pressure * (dry - wet)
        full = 6.112 * math.exp(17.62 * dry / (243.12 + dry))
        agree(weather.humidity_by_wet_bulb(dry, wet, pressure).value, 100 * vapour / full)
        gamma = math.log(vapour / 6.112)
        dew = 243.12 * gamma / (17.62 - gamma)
        agree(weather.dew_point_by_wet_bulb(dry, wet, pressure).value, dew)
        agree(weather.wet_bulb(dry, 100 * vapour / full, pressure).value, float(wet))


@checked(weather.humidity_by_wet_bulb, AMS, "published", where="ice, 5.82e-4")
def test_psychrometer_of_the_glossary_iced() -> None:
    at_wet = 6.112 * math.exp(22.46 * -3 / (272.62 - 3))
    vapour = at_wet - 5.82e-4 * 1013.25 * 2
    full = 6.112 * math.exp(17.62 * -1 / (243.12 - 1))
    agree(weather.humidity_by_wet_bulb(-1, -3).value, 100 * vapour / full)


@checked(weather.humidity_by_wet_bulb, "AZMET dewpoint formulas", "published", where="by wet bulb")
@checked(weather.dew_point_by_wet_bulb, "AZMET dewpoint formulas", "published", where="by wet bulb")
def test_psychrometer_of_the_weather_network() -> None:
    for dry, wet, pressure in ((25, 18, 1013.25), (30, 22, 990.0)):
        full, at_wet = (6.108 * math.exp(17.27 * t / (237.3 + t)) for t in (dry, wet))
        vapour = at_wet - 0.00066 * (1 + 0.00115 * wet) * (dry - wet) * pressure
        b = math.log(vapour / 6.108) / 17.27
        told = weather.humidity_by_wet_bulb(dry, wet, pressure).value
        agree(told, 100 * vapour / full, rel=1.5e-3)
        agree(
            weather.dew_point_by_wet_bulb(dry, wet, pressure).value, 237.3 * b / (1 - b), rel=1.5e-3
        )


@checked(weather.humidity_by_wet_bulb, "psychrolib", "library", where="GetRelHumFromTWetBulb")
@checked(weather.dew_point_by_wet_bulb, "psychrolib", "library", where="GetTDewPointFromTWetBulb")
def test_psychrometer_of_psychrolib() -> None:
    _in_si()
    for dry, wet in ((25, 22.5), (22, 20)):
        theirs = 100 * psychrolib.GetRelHumFromTWetBulb(dry, wet, 101325)
        agree(weather.humidity_by_wet_bulb(dry, wet).value, theirs, rel=3.3e-3)
        dew = psychrolib.GetTDewPointFromTWetBulb(dry, wet, 101325)
        agree(weather.dew_point_by_wet_bulb(dry, wet).value, dew, rel=2.7e-3)


@checked(weather.wet_bulb, "psychrolib", "library", where="GetTWetBulbFromRelHum")
def test_wet_bulb_of_psychrolib() -> None:
    _in_si()
    for air, humidity in ((20, 70), (25, 70), (30, 60), (15, 85)):
        theirs = psychrolib.GetTWetBulbFromRelHum(air, humidity / 100, 101325)
        agree(weather.wet_bulb(air, humidity).value, theirs, rel=5e-3)


@checked(
    weather.wet_bulb, "Stull 2011", "published", where="J. Appl. Meteorol. Climatol. 50, equation 1"
)
def test_wet_bulb_of_stull() -> None:
    for air, humidity in ((25, 50), (25, 60), (30, 70)):
        theirs = (
            air * math.atan(0.151977 * math.sqrt(humidity + 8.313659))
            + math.atan(air + humidity)
            - math.atan(humidity - 1.676331)
            + 0.00391838 * humidity**1.5 * math.atan(0.023101 * humidity)
            - 4.686035
        )
        agree(weather.wet_bulb(air, humidity).value, theirs, abs_=0.05)


@checked(weather.humidity_ratio, "psychrolib", "library", where="GetHumRatioFromVapPres")
def test_humidity_ratio_of_psychrolib() -> None:
    _in_si()
    for air, humidity in ((5, 40), (20, 50), (30, 80)):
        vapour = weather.vapour_pressure(air, humidity).value * 100
        theirs = psychrolib.GetHumRatioFromVapPres(vapour, 95461)
        agree(weather.humidity_ratio(air, humidity, 954.61).value, theirs, rel=1e-5)


@checked(
    weather.humidity_ratio, ASHRAE, "published", where="chapter 1, humidity ratio, with Table 3"
)
def test_humidity_ratio_of_the_handbook() -> None:
    for celsius, pascal in ((5, 872.6), (50, 12351.3)):
        theirs = 0.621945 * pascal / (101325 - pascal)
        agree(weather.humidity_ratio(celsius, 100).value, theirs, rel=1.2e-3)


@checked(weather.humidity_at, "psychrolib", "library", where="GetRelHumFromTDewPoint")
def test_humidity_of_psychrolib() -> None:
    _in_si()
    for air, dew in ((20, 12), (30, 22), (10, 2)):
        theirs = 100 * psychrolib.GetRelHumFromTDewPoint(air, dew)
        agree(weather.humidity_at(air, dew).value, theirs, rel=1.6e-3)
