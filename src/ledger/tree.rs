//! The Merkle tree of RFC 6962 section 2.1: roots, and proofs that a leaf is in a tree and that
//! one tree is the beginning of another. The proofs are checked by RFC 9162 section 2.1.3.2 and
//! 2.1.4.2 (the same tree, clearer steps).

use sha2::{Digest, Sha256};

use super::hash::{Hash, sha256};

/// The hash of a leaf: SHA-256 over 0x00 and the bytes.
#[must_use]
pub fn leaf_hash(bytes: &[u8]) -> Hash {
    Sha256::new()
        .chain_update([0x00])
        .chain_update(bytes)
        .finalize()
        .into()
}

/// The hash of an inner node: SHA-256 over 0x01 and both children.
#[must_use]
pub fn node_hash(left: &Hash, right: &Hash) -> Hash {
    Sha256::new()
        .chain_update([0x01])
        .chain_update(left)
        .chain_update(right)
        .finalize()
        .into()
}

/// The right edge of a growing tree: all that is needed to append a leaf or tell the root, each
/// in steps that grow with the logarithm of the size.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Frontier {
    /// Roots of the complete subtrees, the largest first: one for each bit set in `size`.
    complete: Vec<Hash>,
    size: u64,
}

impl Frontier {
    /// Appends a leaf hash.
    pub fn push(&mut self, leaf: Hash) {
        let mut node = leaf;
        // Each trailing one of the size is a complete subtree as large as the one just built.
        for _ in 0..self.size.trailing_ones() {
            if let Some(left) = self.complete.pop() {
                node = node_hash(&left, &node);
            }
        }
        self.complete.push(node);
        self.size += 1;
    }

    /// The number of leaves.
    #[must_use]
    pub const fn size(&self) -> u64 {
        self.size
    }

    /// The root; of the empty tree the hash of nothing.
    #[must_use]
    pub fn root(&self) -> Hash {
        self.complete
            .iter()
            .rev()
            .copied()
            .reduce(|right, left| node_hash(&left, &right))
            .unwrap_or_else(|| sha256(b""))
    }
}

/// The root over `leaves`, which are leaf hashes.
#[must_use]
pub fn root_of(leaves: &[Hash]) -> Hash {
    let mut frontier = Frontier::default();
    for leaf in leaves {
        frontier.push(*leaf);
    }
    frontier.root()
}

/// The hashes that lead from leaf `index` to the root of `leaves`; `None` where there is no such
/// leaf.
#[must_use]
pub fn inclusion_proof(leaves: &[Hash], index: usize) -> Option<Vec<Hash>> {
    fn climb(leaves: &[Hash], index: usize, proof: &mut Vec<Hash>) {
        let Some((left, right)) = halves(leaves) else {
            return;
        };
        if index < left.len() {
            climb(left, index, proof);
            proof.push(root_of(right));
        } else {
            climb(right, index - left.len(), proof);
            proof.push(root_of(left));
        }
    }
    if index >= leaves.len() {
        return None;
    }
    let mut proof = Vec::new();
    climb(leaves, index, &mut proof);
    Some(proof)
}

/// The hashes that show that the first `size` of `leaves` are the beginning of all of them;
/// `None` where there are fewer. Empty for size 0 and for all leaves.
#[must_use]
pub fn consistency_proof(leaves: &[Hash], size: usize) -> Option<Vec<Hash>> {
    fn climb(leaves: &[Hash], size: usize, known: bool, proof: &mut Vec<Hash>) {
        if size == leaves.len() {
            if !known {
                proof.push(root_of(leaves));
            }
            return;
        }
        let Some((left, right)) = halves(leaves) else {
            return;
        };
        if size <= left.len() {
            climb(left, size, known, proof);
            proof.push(root_of(right));
        } else {
            climb(right, size - left.len(), false, proof);
            proof.push(root_of(left));
        }
    }
    if size > leaves.len() {
        return None;
    }
    let mut proof = Vec::new();
    if size > 0 {
        climb(leaves, size, true, &mut proof);
    }
    Some(proof)
}

/// Whether `proof` leads from `leaf` at `index` to the `root` of a tree of `size` leaves.
#[must_use]
pub fn verify_inclusion(index: u64, size: u64, leaf: &Hash, proof: &[Hash], root: &Hash) -> bool {
    if index >= size {
        return false;
    }
    let mut edge = Edge {
        node: index,
        last: size - 1,
    };
    let mut node = *leaf;
    for sibling in proof {
        if edge.last == 0 {
            return false;
        }
        if edge.sibling_is_left() {
            node = node_hash(sibling, &node);
            edge.skip_to_right_child();
        } else {
            node = node_hash(&node, sibling);
        }
        edge.up();
    }
    edge.last == 0 && node == *root
}

/// Whether `proof` shows that the tree of `old_size` with `old_root` is the beginning of the
/// tree of `size` with `root`.
#[must_use]
pub fn verify_consistency(
    old_size: u64,
    size: u64,
    old_root: &Hash,
    root: &Hash,
    proof: &[Hash],
) -> bool {
    if old_size == size {
        return proof.is_empty() && old_root == root;
    }
    if old_size == 0 {
        // Every tree begins with nothing.
        return proof.is_empty() && *old_root == sha256(b"");
    }
    if old_size > size {
        return false;
    }
    let mut hashes = proof.iter();
    // A complete old tree is itself a node of the new one and is left out of the proof.
    let start = if old_size.is_power_of_two() {
        Some(old_root)
    } else {
        hashes.next()
    };
    let Some(start) = start else {
        return false;
    };
    let mut edge = Edge {
        node: old_size - 1,
        last: size - 1,
    };
    while edge.node & 1 == 1 {
        edge.up();
    }
    let (mut old, mut new) = (*start, *start);
    for sibling in hashes {
        if edge.last == 0 {
            return false;
        }
        if edge.sibling_is_left() {
            old = node_hash(sibling, &old);
            new = node_hash(sibling, &new);
            edge.skip_to_right_child();
        } else {
            new = node_hash(&new, sibling);
        }
        edge.up();
    }
    edge.last == 0 && old == *old_root && new == *root
}

/// A node and the last node of its level, while climbing.
struct Edge {
    node: u64,
    last: u64,
}

impl Edge {
    const fn up(&mut self) {
        self.node >>= 1;
        self.last >>= 1;
    }

    const fn sibling_is_left(&self) -> bool {
        self.node & 1 == 1 || self.node == self.last
    }

    /// On the right edge a node without a sibling is carried up unchanged.
    const fn skip_to_right_child(&mut self) {
        while self.node & 1 == 0 && self.node != 0 {
            self.up();
        }
    }
}

/// Splits at the largest power of two below the length; `None` for fewer than two.
fn halves(leaves: &[Hash]) -> Option<(&[Hash], &[Hash])> {
    let last = leaves.len().checked_sub(1).filter(|last| *last > 0)?;
    leaves.split_at_checked(1 << last.ilog2())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The definition in RFC 6962 section 2.1, word for word: the oracle for the frontier.
    fn defined(leaves: &[Hash]) -> Hash {
        match leaves {
            [] => sha256(b""),
            [leaf] => *leaf,
            _ => {
                let mut k = 1;
                while k * 2 < leaves.len() {
                    k *= 2;
                }
                node_hash(&defined(&leaves[..k]), &defined(&leaves[k..]))
            }
        }
    }

    fn grown(size: usize) -> Vec<Hash> {
        (0..size).map(|n| leaf_hash(&n.to_be_bytes())).collect()
    }

    #[test]
    fn the_frontier_agrees_with_the_definition() {
        for size in 0..70 {
            assert_eq!(root_of(&grown(size)), defined(&grown(size)), "{size}");
        }
    }

    #[test]
    fn every_leaf_of_every_small_tree_is_proven_and_no_other_place_is() {
        for size in 1..20_usize {
            let leaves = grown(size);
            let root = root_of(&leaves);
            for (index, leaf) in leaves.iter().enumerate() {
                let proof = inclusion_proof(&leaves, index).unwrap();
                for place in 0..=size {
                    assert_eq!(
                        verify_inclusion(place as u64, size as u64, leaf, &proof, &root),
                        place == index,
                        "{index} of {size} at {place}"
                    );
                }
                for spoilt in spoil(&proof) {
                    assert!(!verify_inclusion(
                        index as u64,
                        size as u64,
                        leaf,
                        &spoilt,
                        &root
                    ));
                }
            }
            assert_eq!(inclusion_proof(&leaves, size), None);
        }
    }

    #[test]
    fn every_beginning_of_every_small_tree_is_proven() {
        for size in 0..20_usize {
            let leaves = grown(size);
            let root = root_of(&leaves);
            for old in 0..=size {
                let before = root_of(&leaves[..old]);
                let proof = consistency_proof(&leaves, old).unwrap();
                let (old, size) = (old as u64, size as u64);
                assert!(
                    verify_consistency(old, size, &before, &root, &proof),
                    "{old} {size}"
                );
                for spoilt in spoil(&proof) {
                    assert!(!verify_consistency(old, size, &before, &root, &spoilt));
                }
                let other = sha256(b"another log");
                assert!(!verify_consistency(old, size, &other, &root, &proof));
                if old > 0 {
                    assert!(!verify_consistency(old, size, &before, &other, &proof));
                }
                assert!(old == size || !verify_consistency(size, old, &root, &before, &proof));
            }
            assert_eq!(consistency_proof(&leaves, size + 1), None);
        }
    }

    /// Proofs that differ from a good one: one hash changed, left out, or added at either end.
    fn spoil(proof: &[Hash]) -> Vec<Vec<Hash>> {
        let mut all = Vec::new();
        for at in 0..proof.len() {
            let mut changed = proof.to_vec();
            changed[at][7] ^= 4;
            all.push(changed);
            let mut shorter = proof.to_vec();
            shorter.remove(at);
            all.push(shorter);
        }
        all.push([proof, &[[7; 32]]].concat());
        all.push([&[[7; 32]], proof].concat());
        all
    }
}
