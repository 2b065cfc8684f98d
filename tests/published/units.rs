//! Units against their legal definitions and the handbook's printed pairs.

use approx::assert_relative_eq;
use proptest::prelude::*;
use shortgrain::units::{Angle, Force, Length, LengthUnit, Stress, UnitError, Units};

fn length(text: &str) -> Result<Length, UnitError> {
    text.parse()
}

/// The inch is 25.4 mm exactly: international yard and pound agreement, 1 July 1959. Published; exact but for
/// the last bit of a double.
#[test]
fn the_inch_of_1959() {
    for (text, mm) in [
        ("0.75in", 19.05),
        ("0.75\"", 19.05),
        ("3/4in", 19.05),
        ("3/4\"", 19.05),
        (" 3/4 in ", 19.05),
        ("1 3/8in", 34.925),
        ("1-3/8\"", 34.925),
        ("-1 3/8in", -34.925),
        ("2ft", 609.6),
        ("2'", 609.6),
        ("19mm", 19.0),
        ("1.9cm", 19.0),
        ("0.3m", 300.0),
        ("1.9e1 MM", 19.0),
        ("96px", 25.4),
        ("72pt", 25.4),
        ("6pc", 25.4),
    ] {
        assert_relative_eq!(length(text).unwrap().as_mm(), mm, max_relative = 1e-15);
    }
}

/// Wood Handbook FPL-GTR-190 (2010), Tables 5-3a and 5-3b, sugar maple at 12 %: bending 15,800 lbf/in² and 109 MPa,
/// side hardness 1,450 lbf and 6,400 N. Published; each side is printed to three digits at best.
#[test]
fn sugar_maple_in_both_unit_systems() {
    let bending: Stress = "15800psi".parse().unwrap();
    assert_relative_eq!(bending.as_mpa(), 108.9, max_relative = 0.0005);
    let hardness: Force = "1450lbf".parse().unwrap();
    assert_relative_eq!(hardness.as_n(), 6450.0, max_relative = 0.0005);
    assert_relative_eq!(Stress::psi(15_800.0).as_mpa(), 109.0, max_relative = 0.005);
    assert_relative_eq!(hardness.as_n(), 6400.0, max_relative = 0.01);
}

/// One pound-force is 4.4482216152605 N and one lbf/in² 6894.757293168 Pa: NIST Special Publication 811, appendix B.8.
/// Recalled; the digits follow from 0.45359237 kg, 9.80665 m/s² and 25.4 mm, all exact.
#[test]
fn pounds_and_kilograms_force() {
    for (text, n) in [
        ("1lbf", 4.448_221_615_260_5),
        ("45N", 45.0),
        ("0.2kN", 200.0),
        ("4.6kgf", 4.6 * 9.80665),
        ("10 lb", 44.482_216_152_605),
    ] {
        assert_relative_eq!(text.parse::<Force>().unwrap().as_n(), n, max_relative = 1e-14);
    }
    for (text, mpa) in
        [("4.2MPa", 4.2), ("4200kPa", 4.2), ("4.2N/mm2", 4.2), ("1psi", 0.006_894_757_293_168_36)]
    {
        assert_relative_eq!(text.parse::<Stress>().unwrap().as_mpa(), mpa, max_relative = 1e-14);
    }
    assert_relative_eq!(Force::n(45.0).as_lbf(), 10.116, max_relative = 1e-4);
}

/// Our own arithmetic.
#[test]
fn angles() {
    for text in ["90deg", "90°", "90 degrees", "1.5707963267948966rad"] {
        assert_relative_eq!(text.parse::<Angle>().unwrap().as_deg(), 90.0, max_relative = 1e-15);
    }
}

#[test]
fn a_bare_number_is_refused_with_both_readings() {
    assert_eq!(length("19").unwrap_err().to_string(), "19 has no unit; write 19mm or 19in");
    assert_eq!(length("1 3/8").unwrap_err().to_string(), "1 3/8 has no unit; write 1 3/8mm or 1 3/8in");
    let said = |fault: UnitError| fault.to_string();
    assert_eq!(said("45".parse::<Force>().unwrap_err()), "45 has no unit; write 45N or 45lbf");
    assert_eq!(said("90".parse::<Angle>().unwrap_err()), "90 has no unit; write 90deg or 90rad");
    assert_eq!(said("4".parse::<Stress>().unwrap_err()), "4 has no unit; write 4MPa or 4psi");
}

#[test]
fn every_other_fault_says_what_was_typed_and_what_to_write() {
    for (text, says) in [
        ("", "there is no length here; write one with its unit, such as 19mm or 3/4in"),
        (
            "19furlongs",
            "19furlongs is not a length: \"furlongs\" is not one of its units; use mm, cm, m, in, ft, pt, pc or px",
        ),
        ("mm", "mm is not a length: there is no number in front; write it as in 19mm or 3/4in"),
        ("19,5mm", "19,5mm is not a length: \"19,5\" is not a number; write it as in 19mm or 3/4in"),
        ("3//4in", "3//4in is not a length: \"3//4\" is not a number; write it as in 19mm or 3/4in"),
        ("--3mm", "--3mm is not a length: \"--3\" is not a number; write it as in 19mm or 3/4in"),
    ] {
        assert_eq!(length(text).unwrap_err().to_string(), says);
    }
    for text in ["NaN mm", "inf mm", "-infinity mm", "nan", "1e400mm", "1e308m", "3/0in", "0/0in", "1 3/0in"]
    {
        assert!(matches!(length(text), Err(UnitError::NotFinite { .. })), "{text}: {:?}", length(text));
    }
}

#[test]
fn what_is_shown_reads_back_the_same() {
    for mm in [19.0, 0.1, 34.925, 1.0 / 3.0, -2.5, 1e-9, 123_456.789] {
        assert_eq!(length(&Length::mm(mm).to_string()), Ok(Length::mm(mm)));
        assert_eq!(Force::n(mm).to_string().parse(), Ok(Force::n(mm)));
        assert_eq!(Stress::mpa(mm).to_string().parse(), Ok(Stress::mpa(mm)));
    }
    for unit in LengthUnit::ALL {
        assert_eq!(unit.to_string().parse(), Ok(unit));
        assert_relative_eq!(length(&format!("1{unit}")).unwrap().as_mm(), unit.in_mm());
    }
    assert_eq!(format!("{:.1}", Length::mm(19.04)), "19.0 mm");
}

#[test]
fn people_see_tenths_of_a_millimetre_and_thousandths_of_an_inch() {
    assert_eq!(Units::Metric.length(Length::inch(0.75)), "19.1 mm");
    assert_eq!(Units::Inch.length(Length::mm(19.05)), "0.750 in");
    assert_eq!(Units::Metric.force(Force::lbf(10.0)), "44 N");
    assert_eq!(Units::Inch.force(Force::n(44.5)), "10 lbf");
    assert_eq!(Units::Metric.length(Length::mm(-0.01)), "0.0 mm");
    assert_eq!(Units::Metric.stress(Stress::mpa(3.9)), "3.9 MPa");
    assert_eq!(Units::Metric.stress(Stress::mpa(11_330.0)), "11330 MPa");
    assert_eq!(Units::Inch.stress(Stress::mpa(3.9)), "566 psi");
    assert_eq!("IN".parse(), Ok(Units::Inch));
    assert!("furlongs".parse::<Units>().is_err());
}

proptest! {
    /// Whatever is typed is read or refused in words that repeat it; nothing panics and nothing infinite gets in.
    #[test]
    fn any_text_is_read_or_refused(text in "[-+0-9eE./ ,°\"'a-zµ\u{200b}]{0,12}") {
        match length(&text) {
            Ok(length) => prop_assert!(length.as_mm().is_finite()),
            Err(fault) => prop_assert!(fault.to_string().contains(text.trim())),
        }
        let angle: Result<Angle, _> = text.parse();
        prop_assert!(angle.is_ok_and(|angle| angle.as_rad().is_finite()) || text.parse::<Angle>().is_err());
    }

    /// A whole number and a fraction are their sum.
    #[test]
    fn fractions_are_sums(whole in 0u32..100, over in 0u32..64, under in 1u32..64) {
        let sum = f64::from(whole) + f64::from(over) / f64::from(under);
        for text in [format!("{whole} {over}/{under}in"), format!("{whole}-{over}/{under}\"")] {
            prop_assert_eq!(length(&text), Ok(Length::inch(sum)));
        }
    }
}
