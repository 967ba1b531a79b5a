//! What tests of the log of times have in common.

use decal_reckoner::error::{Code, InputErrors};
use num_bigint::BigInt;
use num_rational::BigRational;

/// Each line is refused as the third one of a log, and only it, with a code and a text that says so.
pub fn lines_are_refused(
    reckoned: impl Fn(&str) -> Result<(), InputErrors>,
    lines: &[(&str, Code, &str)],
) {
    for (line, code, says) in lines {
        let errors = reckoned(&format!("cut, 1, 2:00\n\n{line}\n")).expect_err(line);
        let first = errors.first();
        assert_eq!((first.code, &*first.field), (*code, "log"), "{line}");
        assert!(first.message.starts_with("line 3: "), "{}", first.message);
        assert!(first.message.contains(says), "{}", first.message);
        assert_eq!(errors.iter().count(), 1, "{line}");
    }
}

/// A fraction that is exact.
pub fn fraction(numerator: i64, denominator: i64) -> BigRational {
    BigRational::new(BigInt::from(numerator), BigInt::from(denominator))
}

/// A fraction as a float, to fifteen figures behind the point.
pub fn float(value: &BigRational) -> f64 {
    let scaled = (value * fraction(1_000_000_000_000_000, 1)).round();
    scaled.to_integer().to_string().parse::<f64>().unwrap() / 1e15
}
