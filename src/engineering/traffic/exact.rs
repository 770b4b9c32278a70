//! Erlang's formulas in exact whole-number arithmetic, for the tests beside them.

use num_bigint::BigUint;

/// The inverse of Erlang B as a fraction, for a load that is itself an exact fraction.
pub(super) struct Inverse {
    load: (BigUint, BigUint),
    servers: u32,
    top: BigUint,
    bottom: BigUint,
}

impl Inverse {
    /// Computes it for a load exactly as a float holds it.
    pub(super) fn new(load_erl: f64, servers: u32) -> Self {
        let (p, q) = fraction(load_erl);
        // 1/B(i) = 1 + (i q / p) / B(i-1), held as top / p^i.
        let mut top = BigUint::from(1_u32);
        let mut bottom = BigUint::from(1_u32);
        for i in 1..=servers {
            bottom *= &p;
            top = &bottom + top * &q * i;
        }
        Self {
            load: (p, q),
            servers,
            top,
            bottom,
        }
    }

    /// Returns Erlang B, rounded once.
    pub(super) fn blocking(&self) -> f64 {
        ratio(&self.bottom, &self.top)
    }

    /// Returns Erlang C and the mean wait in holding times, each rounded once.
    pub(super) fn waiting(&self) -> (f64, f64) {
        let (p, q) = &self.load;
        let spare = q * self.servers - p;
        // C = N / (A + (N - A) / B).
        let top = q * self.servers * &self.bottom;
        let bottom = p * &self.bottom + &spare * &self.top;
        (ratio(&top, &bottom), ratio(&(&top * q), &(bottom * spare)))
    }
}

/// Returns a positive float as an exact fraction.
fn fraction(value: f64) -> (BigUint, BigUint) {
    let bits = value.to_bits();
    let exponent = (bits >> 52 & 0x7FF) as i32 - 1075;
    let mantissa = bits & ((1 << 52) - 1) | 1 << 52;
    let spare = mantissa.trailing_zeros().cast_signed();
    let (mantissa, exponent) = (BigUint::from(mantissa >> spare), exponent + spare);
    let power = BigUint::from(1_u32) << exponent.unsigned_abs();
    if exponent < 0 {
        (mantissa, power)
    } else {
        (mantissa * power, BigUint::from(1_u32))
    }
}

/// Returns a quotient of whole numbers as a float.
fn ratio(top: &BigUint, bottom: &BigUint) -> f64 {
    let shift = bottom.bits().cast_signed() - top.bits().cast_signed() + 80;
    let quotient = if shift >= 0 {
        (top << shift as u64) / bottom
    } else {
        top / (bottom << shift.unsigned_abs())
    };
    let quotient = u128::try_from(&quotient).expect("the shift leaves about 80 bits");
    let half = (shift / 2) as i32;
    quotient as f64 * 2_f64.powi(-half) * 2_f64.powi(half - shift as i32)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;

    #[test]
    fn small_cases_are_the_fractions_of_the_textbook() {
        let b = |load, servers| Inverse::new(load, servers).blocking();
        let c = |load, servers| Inverse::new(load, servers).waiting();
        let rows = [
            ("1/3", b(0.5, 1), 1.0 / 3.0),
            ("1/5", b(1.0, 2), 1.0 / 5.0),
            ("4/109", b(2.0, 5), 4.0 / 109.0),
            ("81/736", b(3.0, 5), 81.0 / 736.0),
            ("9/14", c(1.5, 2).0, 9.0 / 14.0),
            ("9/14, wait", c(1.5, 2).1, 9.0 / 7.0),
            ("3125/5319", c(5.0, 6).0, 3125.0 / 5319.0),
        ];
        agrees("exact fractions", 1e-15, &rows);
    }
}
