//! Expanded uncertainty from repeated readings (type A) and the instrument's data sheet (type B), by JCGM 100:2008 (GUM).
//!
//! u_A = s / sqrt(n) (4.2.3); u_B = half-width / sqrt(3) for limits of a data sheet without a stated distribution (4.3.7);
//! u_c = sqrt(u_A² + u_B²) (5.1.2); U = k u_c with k = 2 (6.2.1). Clause numbers are from memory.
//!
//! Squares are summed as exact integers in billionths of a unit; one integer square root at the end. Two rules of rounding, and no
//! other: the mean to the nearest millionth, halves to even; U up to the next millionth (7.2.6: rounded up rather than to nearest).

use crate::fact::Instrument;

/// The coverage factor of every expanded uncertainty here: about 95 % for a normal distribution.
pub(super) const COVERAGE_K: i128 = 2;

/// Billionths in a millionth: the guard digits the squares are summed with.
const NANO: i128 = 1_000;

/// A value with its expanded uncertainty.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Evaluation {
    /// The mean of the readings, in millionths of the unit.
    pub mean_micro: i64,
    /// Type A standard uncertainty, in billionths; none for a single reading.
    pub u_a_nano: Option<i64>,
    /// Type B standard uncertainty, in billionths; none when the instrument's accuracy is not known.
    pub u_b_nano: Option<i64>,
    /// Expanded uncertainty with k = 2, in millionths; none when neither is known.
    pub expanded_micro: Option<i64>,
}

/// Why no uncertainty could be worked out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum EvaluationError {
    /// No reading.
    #[error("there is no reading; type at least one")]
    NoReading,
    /// The numbers are too large for exact arithmetic: beyond any bench.
    #[error(
        "the readings lie too far apart, or are too large, for one measurement; check their units"
    )]
    TooWide,
}

/// Evaluates readings of one quantity, taken one after the other with one instrument.
pub fn evaluate(
    readings_micro: &[i64],
    instrument: &Instrument,
) -> Result<Evaluation, EvaluationError> {
    let first = *readings_micro.first().ok_or(EvaluationError::NoReading)?;
    let wide = EvaluationError::TooWide;
    let count = i128::try_from(readings_micro.len()).map_err(|_| wide)?;
    // Differences from the first reading keep the squares small; a spread does not depend on where it lies.
    let (mut sum, mut squares) = (0i128, 0i128);
    for reading in readings_micro {
        let difference = i128::from(*reading) - i128::from(first);
        sum += difference;
        squares = difference
            .checked_mul(difference)
            .and_then(|square| squares.checked_add(square))
            .ok_or(wide)?;
    }
    let mean = divide_half_even(i128::from(first) * count + sum, count);
    let mean_micro = i64::try_from(mean).map_err(|_| wide)?;
    let a_squared = (count > 1)
        .then(|| mean_variance_nano(count, sum, squares))
        .transpose()?;
    let half_width = instrument
        .is_specified()
        .then(|| half_width_nano(mean_micro, instrument))
        .transpose()?;
    // u_B² = half-width² / 3; kept in thirds until the end.
    let b_thirds = half_width
        .map(|width| width.checked_mul(width).ok_or(wide))
        .transpose()?;
    let expanded_micro = match (a_squared, b_thirds) {
        (None, None) => None,
        (a, b) => Some(expanded(a.unwrap_or(0), b.unwrap_or(0))?),
    };
    let root = |squared: i128| i64::try_from(root_half_up(squared)).map_err(|_| wide);
    Ok(Evaluation {
        mean_micro,
        u_a_nano: a_squared.map(root).transpose()?,
        u_b_nano: b_thirds.map(|thirds| root(thirds / 3)).transpose()?,
        expanded_micro,
    })
}

/// The variance of the mean, s²/n, in billionths squared.
fn mean_variance_nano(count: i128, sum: i128, squares: i128) -> Result<i128, EvaluationError> {
    let wide = EvaluationError::TooWide;
    // n² (n−1) s²/n = n Σd² − (Σd)²
    let spread = squares
        .checked_mul(count)
        .zip(sum.checked_mul(sum))
        .map(|(all, own)| all - own)
        .ok_or(wide)?;
    let scaled = spread.checked_mul(NANO * NANO).ok_or(wide)?;
    Ok(scaled / (count * count * (count - 1)))
}

/// The half-width of the instrument's accuracy at a value, in billionths, rounded up.
fn half_width_nano(mean_micro: i64, instrument: &Instrument) -> Result<i128, EvaluationError> {
    let wide = EvaluationError::TooWide;
    let grows = i128::from(mean_micro)
        .abs()
        .checked_mul(i128::from(instrument.reading_ppm))
        .ok_or(wide)?;
    let fixed = i128::from(instrument.counts)
        .checked_mul(i128::from(instrument.count_micro))
        .and_then(|micro| micro.checked_mul(NANO))
        .ok_or(wide)?;
    Ok(divide_up(grows, NANO) + fixed)
}

/// U in millionths, rounded up: the smallest whole number whose square is not below k² (u_A² + u_B²).
fn expanded(a_squared_nano: i128, b_thirds_nano: i128) -> Result<i64, EvaluationError> {
    let wide = EvaluationError::TooWide;
    let thirds = a_squared_nano
        .checked_mul(3)
        .and_then(|a| a.checked_add(b_thirds_nano))
        .and_then(|sum| sum.checked_mul(COVERAGE_K * COVERAGE_K))
        .ok_or(wide)?;
    let squared_micro_thirds = divide_up(thirds, NANO * NANO);
    let squared_micro = divide_up(squared_micro_thirds, 3);
    let root = squared_micro.isqrt();
    let up = if root * root < squared_micro {
        root + 1
    } else {
        root
    };
    i64::try_from(up).map_err(|_| wide)
}

fn divide_up(number: i128, by: i128) -> i128 {
    number.div_euclid(by) + i128::from(number.rem_euclid(by) > 0)
}

fn divide_half_even(number: i128, by: i128) -> i128 {
    let (whole, rest) = (number.div_euclid(by), number.rem_euclid(by));
    match (rest * 2).cmp(&by) {
        std::cmp::Ordering::Less => whole,
        std::cmp::Ordering::Greater => whole + 1,
        std::cmp::Ordering::Equal => whole + (whole & 1),
    }
}

fn root_half_up(number: i128) -> i128 {
    let root = number.isqrt();
    if number - root * root > root {
        root + 1
    } else {
        root
    }
}
