//! Which of many things are one, told pair by pair.

/// Sets of numbers that grow together; each is known by the lowest number in it, so what comes out does not
/// depend on the order of joining.
pub(super) struct Links(Vec<u32>);

impl Links {
    /// `count` numbers, each a set of its own.
    pub(super) fn new(count: usize) -> Self {
        Self((0..count as u32).collect())
    }

    /// Makes the sets of two numbers one.
    pub(super) fn join(&mut self, a: u32, b: u32) {
        let (a, b) = (self.first(a), self.first(b));
        self.0[a.max(b) as usize] = a.min(b);
    }

    /// The lowest number in the set of one.
    pub(super) fn first(&mut self, mut number: u32) -> u32 {
        while self.0[number as usize] != number {
            // Halving the way keeps later ones short.
            let next = self.0[number as usize];
            self.0[number as usize] = self.0[next as usize];
            number = next;
        }
        number
    }
}
