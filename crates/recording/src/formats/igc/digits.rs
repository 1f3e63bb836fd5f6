//! Digits eight at a time.

/// Eight times the digit nil.
pub(super) const ZEROS: u64 = u64::from_le_bytes([b'0'; 8]);

/// The number that eight digits write, the first in the lowest byte; `None` where one is no digit. Pairs are joined to hundreds,
/// these to ten thousands, in one word.
#[inline]
pub(super) fn eight_digits(eight: u64) -> Option<u32> {
    let values = eight.wrapping_sub(ZEROS);
    // A byte above nine sets its highest bit in one of the two.
    let over = eight.wrapping_add(u64::from_le_bytes([0x46; 8])) | values;
    if over & u64::from_le_bytes([0x80; 8]) != 0 {
        return None;
    }
    let pairs = values.wrapping_mul(10).wrapping_add(values >> 8) & 0x00ff_00ff_00ff_00ff;
    let fours = pairs.wrapping_mul(100).wrapping_add(pairs >> 16) & 0x0000_ffff_0000_ffff;
    let all = (fours & 0xffff).wrapping_mul(10_000).wrapping_add(fours >> 32);
    Some(all as u32)
}
