//! Rows of numbers, four at a time: the inner loops of the factorization. Written for packed arithmetic rather than left to the
//! compiler, which at the optimization level of these crates does not pack. Nothing is fused or summed in another order, so that
//! every processor gives the same bits.

use wide::f64x4;

/// Numbers taken together.
pub(super) const LANES: usize = 4;
pub(super) type Lane = [f64; LANES];

/// So many lanes fill the registers.
const GROUP: usize = 6;

/// Runs over the lanes of `from..to` in groups, each with a constant size.
macro_rules! in_groups {
    ($from:expr, $to:expr, |$at:ident, $size:ident| $body:block) => {{
        let mut $at = $from;
        while $at + GROUP <= $to {
            {
                const $size: usize = GROUP;
                $body
            }
            $at += GROUP;
        }
        match $to - $at {
            5 => {
                const $size: usize = 5;
                $body
            }
            4 => {
                const $size: usize = 4;
                $body
            }
            3 => {
                const $size: usize = 3;
                $body
            }
            2 => {
                const $size: usize = 2;
                $body
            }
            1 => {
                const $size: usize = 1;
                $body
            }
            _ => {}
        }
    }};
}

#[inline(always)]
fn part<const W: usize>(row: &[Lane], at: usize) -> &[Lane; W] {
    row[at..].first_chunk::<W>().expect("a row is as long as its shape says")
}

#[inline(always)]
fn load<const W: usize>(row: &[Lane; W]) -> [f64x4; W] {
    row.map(f64x4::new)
}

#[inline(always)]
fn subtract<const W: usize>(sum: &mut [f64x4; W], factor: f64, row: &[Lane; W]) {
    let factor = f64x4::splat(factor);
    for (sum, lane) in sum.iter_mut().zip(row) {
        *sum -= factor * f64x4::new(*lane);
    }
}

#[inline(always)]
fn store<const W: usize>(target: &mut [Lane], at: usize, sum: [f64x4; W]) {
    let target = target[at..].first_chunk_mut::<W>().expect("a row is as long as its shape says");
    for (target, sum) in target.iter_mut().zip(sum) {
        *target = sum.to_array();
    }
}

/// `target[to + l] -= sum over rows of row[column] row[from + l]`, for `count` lanes; `rows` are of `stride` lanes each, and
/// `column` counts numbers.
#[inline(always)]
pub(super) fn subtract_column(
    target: &mut [Lane],
    to: usize,
    (rows, stride, column): (&[Lane], usize, usize),
    (from, count): (usize, usize),
) {
    let (lane, at) = (column / LANES, column % LANES);
    in_groups!(0, count, |begin, W| {
        let mut sum = load(part::<W>(target, to + begin));
        for row in rows.chunks_exact(stride) {
            subtract(&mut sum, row[lane][at], part::<W>(row, from + begin));
        }
        store(target, to + begin, sum);
    });
}

/// Factors, and as many rows, one after the other.
pub(super) type Part<'a> = (&'a [f64], &'a [Lane]);

/// `sum[l] -= sum over rows of factor * row[l]` for the lanes from `from` on, each row as long as `sum` with its own factor.
pub(super) fn subtract_rows(sum: &mut [Lane], from: usize, parts: &[Part<'_>]) {
    // The usual lengths with loops of constant size; the first number is the length of a row, the second that of its part.
    match (sum.len(), sum.len() - from) {
        (1, 1) => fixed::<1, 1>(sum, parts),
        (2, 1) => fixed::<2, 1>(sum, parts),
        (2, 2) => fixed::<2, 2>(sum, parts),
        (3, 3) => fixed::<3, 3>(sum, parts),
        (4, 1) => fixed::<4, 1>(sum, parts),
        (4, 2) => fixed::<4, 2>(sum, parts),
        (4, 3) => fixed::<4, 3>(sum, parts),
        (4, 4) => fixed::<4, 4>(sum, parts),
        (5, 1) => fixed::<5, 1>(sum, parts),
        (5, 2) => fixed::<5, 2>(sum, parts),
        (5, 3) => fixed::<5, 3>(sum, parts),
        (5, 4) => fixed::<5, 4>(sum, parts),
        (5, 5) => fixed::<5, 5>(sum, parts),
        _ => any(sum, from, parts),
    }
}

/// The last `W` lanes of rows of `B`.
fn fixed<const B: usize, const W: usize>(sum: &mut [Lane], parts: &[Part<'_>]) {
    let target = sum.last_chunk_mut::<W>().expect("a part is no longer than its row");
    let mut packed = load(target);
    for (factors, rows) in parts {
        for (factor, row) in factors.iter().zip(rows.as_chunks::<B>().0) {
            let part = row.last_chunk::<W>().expect("a part is no longer than its row");
            subtract(&mut packed, *factor, part);
        }
    }
    *target = packed.map(f64x4::to_array);
}

fn any(sum: &mut [Lane], from: usize, parts: &[Part<'_>]) {
    let stride = sum.len();
    in_groups!(from, stride, |begin, W| {
        let mut packed = load(part::<W>(sum, begin));
        for (factors, rows) in parts {
            for (factor, row) in factors.iter().zip(rows.chunks_exact(stride)) {
                subtract(&mut packed, *factor, part::<W>(row, begin));
            }
        }
        store(sum, begin, packed);
    });
}

/// Multiplies the lanes by a factor.
#[inline(always)]
pub(super) fn scale(row: &mut [Lane], factor: f64) {
    let factor = f64x4::splat(factor);
    for lane in row {
        *lane = (f64x4::new(*lane) * factor).to_array();
    }
}

/// Sum of products, lane by lane and then over the lane.
#[inline(always)]
pub(super) fn dot(a: &[Lane], b: &[Lane]) -> f64 {
    let mut sum = f64x4::splat(0.0);
    for (a, b) in a.iter().zip(b) {
        sum += f64x4::new(*a) * f64x4::new(*b);
    }
    let [first, second, third, fourth] = sum.to_array();
    (first + second) + (third + fourth)
}
