//! What a calculator answers, and how it is shown.

/// One thing a calculator answers.
#[derive(Debug, Clone, Copy)]
pub struct Output {
    /// Its key in JSON.
    pub key: &'static str,
    /// Its name on screen.
    pub label: &'static str,
    /// What it is.
    pub form: Form,
}

/// What an answer is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Form {
    /// A number.
    Number {
        /// Unit in which it is shown.
        unit: &'static str,
        /// What it is multiplied by to be shown in that unit.
        factor: f64,
        /// Decimals to show.
        decimals: usize,
    },
    /// A list of intermodulation products.
    Products,
}

/// One answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A number.
    Number(f64),
    /// No number: it grows without end.
    Endless,
    /// Products that fall on receivers.
    Products(Vec<Product>),
}

/// An intermodulation product on a receiver.
#[derive(Debug, Clone, PartialEq)]
pub struct Product {
    /// Order, 3 or 5.
    pub order: u8,
    /// Coefficient and frequency in MHz of each signal.
    pub signals: Vec<(i8, f64)>,
    /// Where it falls, in MHz.
    pub product_mhz: f64,
    /// The receiver it falls on, in MHz.
    pub rx_mhz: f64,
    /// Product less receiver, in kHz.
    pub offset_khz: f64,
}

/// The answers of a calculator, in the order of its outputs.
#[derive(Debug, Clone, PartialEq)]
pub struct Answers {
    /// The answers.
    pub values: Vec<Value>,
    /// What must be said about these answers and not about others, each a sentence.
    pub remarks: Vec<String>,
}

impl Answers {
    /// Makes answers of plain numbers.
    pub(super) fn numbers<const N: usize>(numbers: [f64; N]) -> Self {
        Self {
            values: numbers.map(Value::Number).into(),
            remarks: Vec::new(),
        }
    }
}

impl Output {
    /// Makes an output in a unit.
    pub(super) const fn number(
        key: &'static str,
        label: &'static str,
        unit: &'static str,
        decimals: usize,
    ) -> Self {
        let factor = 1.0;
        let form = Form::Number {
            unit,
            factor,
            decimals,
        };
        Self { key, label, form }
    }

    /// Makes an output that is a share of 1 and is shown in percent.
    pub(super) const fn share(key: &'static str, label: &'static str) -> Self {
        let form = Form::Number {
            unit: "%",
            factor: 100.0,
            decimals: 2,
        };
        Self { key, label, form }
    }

    /// Writes an answer with its unit.
    pub fn shown(&self, value: &Value) -> String {
        match (self.form, value) {
            (_, Value::Endless) => "grows without end".to_owned(),
            (_, Value::Products(products)) => match products.len() {
                0 => "none".to_owned(),
                1 => "1 product".to_owned(),
                n => format!("{n} products"),
            },
            (
                Form::Number {
                    unit,
                    factor,
                    decimals,
                },
                Value::Number(number),
            ) => {
                let space = if unit.is_empty() { "" } else { " " };
                format!("{}{space}{unit}", rounded(number * factor, decimals))
            }
            (Form::Products, Value::Number(number)) => number.to_string(),
        }
    }
}

impl Product {
    /// Writes the product as a sum and where it falls, without a full stop.
    pub fn words(&self) -> String {
        let mut sum = String::new();
        for (i, (coefficient, mhz)) in self.signals.iter().enumerate() {
            let sign = match (i, *coefficient < 0) {
                (0, false) => "",
                (0, true) => "-",
                (_, false) => " + ",
                (_, true) => " - ",
            };
            let times = match coefficient.unsigned_abs() {
                1 => String::new(),
                n => format!("{n} x "),
            };
            sum = format!("{sum}{sign}{times}{mhz}");
        }
        let beside = if self.offset_khz == 0.0 {
            "exactly".to_owned()
        } else {
            let side = if self.offset_khz < 0.0 {
                "below"
            } else {
                "above"
            };
            format!("{} kHz {side}", self.offset_khz.abs())
        };
        format!(
            "order {}: {sum} = {} MHz, on {} MHz {beside}",
            self.order, self.product_mhz, self.rx_mhz
        )
    }
}

/// Writes a number with some decimals; what rounds to nothing and is something says so.
fn rounded(number: f64, decimals: usize) -> String {
    let text = format!("{number:.decimals$}");
    let is_zero = text.chars().all(|c| matches!(c, '0' | '.' | '-'));
    if !is_zero {
        return text;
    }
    let zero = format!("{:.decimals$}", 0.0);
    if number > 0.0 {
        let least = format!("{:.decimals$}", 10_f64.powf(-(decimals as f64)));
        format!("below {least}")
    } else {
        zero
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn answers_are_shown_with_their_unit() {
        let share = Output::share("share", "Share");
        let metres = Output::number("metres", "Distance", "m", 2);
        let plain = Output::number("r", "R", "", 1);
        for (output, number, shown) in [
            (share, 0.010_04, "1.00 %"),
            (share, 0.0, "0.00 %"),
            (share, 1e-9, "below 0.01 %"),
            (metres, 1.236, "1.24 m"),
            (plain, -0.001, "0.0"),
            (plain, -12.34, "-12.3"),
        ] {
            assert_eq!(output.shown(&Value::Number(number)), shown);
        }
        assert_eq!(metres.shown(&Value::Endless), "grows without end");
        assert_eq!(metres.shown(&Value::Products(Vec::new())), "none");
    }

    #[test]
    fn a_product_reads_as_a_sum() {
        let mut product = Product {
            order: 3,
            signals: vec![(2, 453.4625), (-1, 453.2125)],
            product_mhz: 453.7125,
            rx_mhz: 453.7125,
            offset_khz: 0.0,
        };
        assert_eq!(
            product.words(),
            "order 3: 2 x 453.4625 - 453.2125 = 453.7125 MHz, on 453.7125 MHz exactly"
        );
        product.offset_khz = -2.5;
        assert!(product.words().ends_with("MHz 2.5 kHz below"));
    }
}
