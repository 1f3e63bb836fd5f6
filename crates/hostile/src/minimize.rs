//! The shortest input found that still fails the same way: pieces are cut out, half the size each round.

/// Cuts pieces out of a failing input while `fails` says that it still does. At most some thousand tries.
pub fn minimize(bytes: &[u8], fails: impl Fn(&[u8]) -> bool) -> Vec<u8> {
    let mut best = bytes.to_vec();
    let mut tries = 0;
    let mut piece = best.len() / 2;
    while piece > 0 && tries < 4000 {
        let mut at = 0;
        while at < best.len() && tries < 4000 {
            let mut shorter = best[..at].to_vec();
            shorter.extend_from_slice(&best[(at + piece).min(best.len())..]);
            tries += 1;
            if fails(&shorter) {
                best = shorter;
            } else {
                at += piece;
            }
        }
        piece /= 2;
    }
    best
}

#[cfg(test)]
mod tests {
    use super::minimize;

    #[test]
    fn golden_what_matters_is_kept() {
        let long = [vec![b'x'; 999], b"bad".to_vec(), vec![b'y'; 500]].concat();
        let fails = |bytes: &[u8]| bytes.windows(3).any(|three| three == b"bad");
        assert_eq!(minimize(&long, fails), b"bad");
    }
}
