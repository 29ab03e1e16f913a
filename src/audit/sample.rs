//! Which jobs are looked at when not all are: the same seed picks the same ones, in any order.

use std::str::FromStr;

use crate::ledger::sha256;

/// A share of jobs, in thousandths of a percent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sample {
    millipercent: u32,
    seed: u64,
}

/// A share that cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a share such as 5% or 0.5%, above 0 and at most 100")]
pub struct ShareError(String);

impl Sample {
    /// `share` of the jobs, such as `5%`, picked by `seed`.
    ///
    /// # Errors
    /// A text that is no share above 0 % and at most 100 %.
    pub fn new(share: &str, seed: u64) -> Result<Self, ShareError> {
        let wrong = || ShareError(share.chars().take(20).collect());
        let number = share.trim().trim_end_matches('%').trim();
        let percent = crate::units::Decimal::from_str(number).map_err(|_| wrong())?;
        let millipercent = percent
            .thousandths()
            .filter(|n| (1..=100_000).contains(n))
            .and_then(|n| u32::try_from(n).ok())
            .ok_or_else(wrong)?;
        Ok(Self { millipercent, seed })
    }

    /// The seed.
    #[must_use]
    pub const fn seed(self) -> u64 {
        self.seed
    }

    /// How many of `jobs` are looked at: at least one, rounded up.
    #[must_use]
    pub fn size(self, jobs: usize) -> usize {
        let share = (jobs as u128 * u128::from(self.millipercent)).div_ceil(100_000);
        usize::try_from(share).unwrap_or(jobs).min(jobs)
    }

    /// The names that are looked at, in the order given. The rank of a name is a hash of seed and
    /// name, so neither order nor folder decides, and nobody can choose.
    #[must_use]
    pub fn pick<T: AsRef<str>>(self, names: &[T]) -> Vec<usize> {
        let mut ranked: Vec<([u8; 32], usize)> = names
            .iter()
            .enumerate()
            .map(|(n, name)| {
                let text = format!("{}\n{}", self.seed, name.as_ref());
                (sha256(text.as_bytes()), n)
            })
            .collect();
        ranked.sort_unstable();
        let mut picked: Vec<usize> = ranked
            .into_iter()
            .take(self.size(names.len()))
            .map(|(_, n)| n)
            .collect();
        picked.sort_unstable();
        picked
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_is_rounded_up_and_the_seed_decides() {
        let names: Vec<String> = (0..1_000).map(|n| format!("job-{n}")).collect();
        let five = Sample::new("5%", 7).unwrap();
        let picked = five.pick(&names);
        assert_eq!(picked.len(), 50);
        assert_eq!(picked, Sample::new(" 5 %", 7).unwrap().pick(&names));
        assert_ne!(picked, Sample::new("5%", 8).unwrap().pick(&names));
        assert_eq!(Sample::new("0.1%", 1).unwrap().size(3), 1);
        assert_eq!(Sample::new("100%", 1).unwrap().pick(&names).len(), 1_000);
    }

    #[test]
    fn the_order_of_names_does_not_decide() {
        let names = ["a", "b", "c", "d", "e", "f"];
        let mut back = names;
        back.reverse();
        let sample = Sample::new("50%", 3).unwrap();
        let one: std::collections::BTreeSet<&str> =
            sample.pick(&names).into_iter().map(|n| names[n]).collect();
        let other: std::collections::BTreeSet<&str> =
            sample.pick(&back).into_iter().map(|n| back[n]).collect();
        assert_eq!(one, other);
    }

    #[test]
    fn what_is_no_share_is_refused() {
        for share in ["", "0", "0%", "-5%", "101%", "five"] {
            assert!(Sample::new(share, 1).is_err(), "{share}");
        }
    }
}
