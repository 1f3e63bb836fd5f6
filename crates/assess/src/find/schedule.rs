//! The set of claims that do not overlap with the greatest sum of log-odds.

use super::Claim;
use crate::trace::STEP_S;

/// One attempt may begin so long before another is over: where one ends and the other begins is not known better.
const OVERLAP_S: f64 = 6.0;

/// Weighted scheduling of spans, by the ends in time order: n log n.
pub(super) fn best(mut claims: Vec<Claim>) -> Vec<Claim> {
    claims.sort_by_key(|claim| (claim.end(), claim.start()));
    let ends: Vec<usize> = claims.iter().map(Claim::end).collect();
    let overlap = (OVERLAP_S / STEP_S) as usize;
    // Entry k: the most that the first k claims give, and whether the last of them is taken.
    let mut most: Vec<(f64, bool)> = vec![(0.0, false)];
    let before = |claim: &Claim, k: usize| {
        let free = claim.start() + overlap.min((claim.end() - claim.start()) / 3);
        ends[..k].partition_point(|end| *end <= free)
    };
    for (k, claim) in claims.iter().enumerate() {
        let with = most[before(claim, k)].0 + claim.gain;
        let without = most[k].0;
        most.push(if with > without { (with, true) } else { (without, false) });
    }
    let mut taken = Vec::new();
    let mut k = claims.len();
    while k > 0 {
        if most[k].1 {
            taken.push(k - 1);
            k = before(&claims[k - 1], k - 1);
        } else {
            k -= 1;
        }
    }
    let mut kept: Vec<bool> = vec![false; claims.len()];
    taken.iter().for_each(|k| kept[*k] = true);
    let mut keep = kept.into_iter();
    claims.retain(|_| keep.next().unwrap_or(false));
    claims
}
