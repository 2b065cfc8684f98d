//! Any text as a quantity: what is read is finite, and what is shown reads back the same.

#![no_main]

use std::fmt::{Debug, Display};
use std::str::FromStr;

use libfuzzer_sys::fuzz_target;
use shortgrain::units::{Angle, Force, Length, LengthUnit, Stress};

fn reads_back<T: FromStr + Display + PartialEq + Debug>(text: &str)
where
    T::Err: Display,
{
    match text.parse::<T>() {
        Ok(value) => {
            let shown = value.to_string();
            let again = shown.parse::<T>().unwrap_or_else(|error| panic!("{shown}: {error}"));
            assert_eq!(again, value, "{text} is shown as {shown}");
        }
        Err(error) => assert!(!error.to_string().is_empty()),
    }
}

fuzz_target!(|text: &str| {
    reads_back::<Length>(text);
    reads_back::<Force>(text);
    reads_back::<Stress>(text);
    let _ = text.parse::<Angle>();
    reads_back::<LengthUnit>(text);
});
