"""Units and typed numbers against standards and libraries."""

from __future__ import annotations

from checks import agree, checked

from hulllog.trade import units

SP_811 = {
    "ft": "3.048E-01",
    "in": "2.54E-02",
    "mil": "2.54E-05",
    "ft2": "9.290304E-02",
    "gal_us": "3.785412E-03",
    "gal_imp": "4.54609E-03",
    "qt_us": "9.463529E-04",
    "lb": "4.535924E-01",
    "oz": "2.834952E-02",
    "ton_long": "1.016047E+03",
    "ton_short": "9.071847E+02",
    "kn": "5.144444E-01",
    "nmi": "1.852E+03",
    "psi": "6.894757E+03",
}


@checked(units.to_si, "NIST SP 811", "published", where="Appendix B.8")
def test_factors_of_the_guide_to_the_si() -> None:
    for code, printed in SP_811.items():
        agree(units.to_si(1, code), printed)


@checked(units.unit, "NIST SP 811", "published", where="Appendix B.8")
def test_factors_of_the_units_themselves() -> None:
    for code, printed in SP_811.items():
        agree(float(units.unit(code).factor), printed)


DAY = 86_400.0
YEAR = 365.25 * DAY


@checked(units.to_si, "SI Brochure, 9th edition", "from memory", where="Tables 7 and 8")
def test_prefixes_and_accepted_units_of_the_si() -> None:
    for code, factor in {
        "1 m m2 m3 kg s V A K Pa ohm ohm.m A/m2 C/kg kg/kg kg/m3 kg/m2 1/m2 kg/s J/mol": 1.0,
        "kg/(m2.s) kg/C kg/mol C/mol m/s degC_difference deg": 1.0,
        "cm dm2 percent uA/cm2": 1e-2,
        "mm g mV mA L mA/m2 g/kg g/m2 g/mol": 1e-3,
        "cm2": 1e-4,
        "um mm2 mg mL": 1e-6,
        "ug/cm2": 1e-5,
        "hPa": 1e2,
        "kPa t g/cm3 kg/L kJ/mol m2/L": 1e3,
        "MPa": 1e6,
        "1/cm2": 1e4,
        "min": 60.0,
        "h Ah/kg": 3600.0,
        "d": DAY,
        "g/d g/(m2.d)": 1e-3 / DAY,
        "mg/(dm2.d)": 1e-4 / DAY,
        "ug/(cm2.d)": 1e-5 / DAY,
        "1/year kg/year kg/(A.year) 1/m2/year": 1 / YEAR,
        "percent/year": 1e-2 / YEAR,
        "cm2/year": 1e-4 / YEAR,
        "mm/year mV/year": 1e-3 / YEAR,
        "um/year": 1e-6 / YEAR,
        "um/month": 12e-6 / YEAR,
        "MPa/year": 1e6 / YEAR,
    }.items():
        for one in code.split():
            agree(units.to_si(1, one), factor)


@checked(units.to_si, "SciPy", "library", where="scipy.constants")
def test_factors_of_scipy() -> None:
    from scipy import constants

    for code, factor in {
        "in": constants.inch,
        "ft": constants.foot,
        "mil": constants.mil,
        "nmi": constants.nautical_mile,
        "L": constants.litre,
        "gal_us": constants.gallon,
        "gal_imp": constants.gallon_imp,
        "lb": constants.pound,
        "oz": constants.oz,
        "ton_long": constants.long_ton,
        "ton_short": constants.short_ton,
        "kn": constants.knot,
        "psi": constants.psi,
        "h": constants.hour,
        "d": constants.day,
        "year": constants.Julian_year,
        "min": constants.minute,
        "in2": constants.inch**2,
        "ft2": constants.foot**2,
        "ft3": constants.foot**3,
        "degF_difference": constants.degree_Fahrenheit,
        "lb/gal_us": constants.pound / constants.gallon,
        "ft2/gal_us": constants.foot**2 / constants.gallon,
        "ft2/gal_imp": constants.foot**2 / constants.gallon_imp,
        "mil/year": constants.mil / constants.Julian_year,
        "qt_us": constants.gallon / 4,
        "month": constants.Julian_year / 12,
    }.items():
        agree(units.to_si(1, code), factor)


@checked(units.from_si, "SciPy", "library", where="scipy.constants.convert_temperature")
@checked(units.convert, "SciPy", "library", where="scipy.constants.convert_temperature")
def test_temperatures_of_scipy() -> None:
    from scipy.constants import convert_temperature

    for kelvin in (255.0, 273.15, 288.0, 313.0):
        agree(units.from_si(kelvin, "degC"), convert_temperature(kelvin, "K", "C"), abs_=1e-9)
        agree(units.from_si(kelvin, "degF"), convert_temperature(kelvin, "K", "F"), abs_=1e-9)
    for fahrenheit in (-4.0, 32.0, 50.0, 85.0):
        celsius = convert_temperature(fahrenheit, "F", "C")
        agree(units.convert(fahrenheit, "degF", "degC"), celsius, abs_=1e-9)


@checked(
    units.convert,
    "UK Units of Measurement Regulations 1995",
    "from memory",
    where="Schedule, gallon",
)
def test_the_imperial_gallon() -> None:
    agree(units.convert(1, "gal_imp", "L"), "4.54609")


@checked(units.convert, "ASTM G1", "from memory", where="conversion of units, mm/y to mpy")
def test_millimetres_a_year_in_mils() -> None:
    agree(units.convert(1, "mm/year", "mil/year"), "39.37")
