//! A way to fill a package: how many of which kind.

/// Kinds with how many of each, by kind ascending, none of zero.
pub(super) type Pattern = Vec<(u32, u32)>;

/// The pattern as far as `left` has items for it.
pub(super) fn clipped(pattern: &[(u32, u32)], left: &[u32]) -> Pattern {
    pattern
        .iter()
        .filter_map(|&(kind, count)| {
            let has = left.get(kind as usize).copied().unwrap_or(0);
            let count = count.min(has);
            (count > 0).then_some((kind, count))
        })
        .collect()
}

/// Takes the items of so many packages from `left`.
pub(super) fn take(pattern: &[(u32, u32)], times: u32, left: &mut [u32]) {
    for &(kind, count) in pattern {
        if let Some(has) = left.get_mut(kind as usize) {
            *has = has.saturating_sub(count * times);
        }
    }
}

/// A plan: patterns, each with how many packages are packed so.
pub(super) type Packed = Vec<(Pattern, u32)>;

/// How many packages.
pub(super) fn packages(packed: &[(Pattern, u32)]) -> u64 {
    packed.iter().map(|(_, times)| u64::from(*times)).sum()
}
