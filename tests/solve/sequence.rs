//! Numbers that a script in another language can repeat.

/// Linear congruential numbers with Knuth's MMIX constants; `tests/peers/fields.py` gives the same ones.
pub struct Sequence(pub u64);

impl Sequence {
    /// The next number, from 0 below `n`.
    pub fn below(&mut self, n: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (self.0 >> 33) % n
    }

    /// The next number, from 0 below 1.
    pub fn unit(&mut self) -> f64 {
        self.below(1 << 30) as f64 / (1u64 << 30) as f64
    }
}
