//! SHA-256, to tell one font file from another.

/// The hash of some bytes, in hexadecimal.
///
/// # Source
///
/// *Secure Hash Standard*, FIPS 180-4, 2015, sections 4.1.2, 5.1.1 and 6.2.
pub(super) fn sha256(bytes: &[u8]) -> String {
    let k: [u32; 64] = constants(3);
    let mut state: [u32; 8] = constants(2);
    let mut message = bytes.to_vec();
    message.push(0x80);
    message.resize((message.len() + 8).next_multiple_of(64) - 8, 0);
    message.extend((bytes.len() as u64 * 8).to_be_bytes());
    for block in message.chunks_exact(64) {
        let mut w = [0_u32; 64];
        for (word, four) in w.iter_mut().zip(block.chunks_exact(4)) {
            *word = four.iter().fold(0, |word, byte| word << 8 | u32::from(*byte));
        }
        for t in 16..64 {
            let (a, b) = (w[t - 15], w[t - 2]);
            let small0 = a.rotate_right(7) ^ a.rotate_right(18) ^ (a >> 3);
            let small1 = b.rotate_right(17) ^ b.rotate_right(19) ^ (b >> 10);
            w[t] = w[t - 16].wrapping_add(small0).wrapping_add(w[t - 7]).wrapping_add(small1);
        }
        let [mut a, mut b, mut c, mut d, mut e, mut f, mut g, mut h] = state;
        for (k, w) in k.iter().zip(w) {
            let big1 = e.rotate_right(6) ^ e.rotate_right(11) ^ e.rotate_right(25);
            let choice = (e & f) ^ (!e & g);
            let first = h.wrapping_add(big1).wrapping_add(choice).wrapping_add(*k).wrapping_add(w);
            let big0 = a.rotate_right(2) ^ a.rotate_right(13) ^ a.rotate_right(22);
            let majority = (a & b) ^ (a & c) ^ (b & c);
            (h, g, f, e) = (g, f, e, d.wrapping_add(first));
            (d, c, b, a) = (c, b, a, first.wrapping_add(big0.wrapping_add(majority)));
        }
        for (sum, part) in state.iter_mut().zip([a, b, c, d, e, f, g, h]) {
            *sum = sum.wrapping_add(part);
        }
    }
    state.iter().map(|word| format!("{word:08x}")).collect()
}

/// The first 32 bits behind the point of the square or cube roots of the first primes.
fn constants<const N: usize>(power: u32) -> [u32; N] {
    let mut primes = (2_u128..).filter(|n| (2..*n).take_while(|d| d * d <= *n).all(|d| n % d != 0));
    std::array::from_fn(|_| {
        let scaled = primes.next().expect("there are always more primes") << (32 * power);
        // The largest root whose power does not exceed the number, bit by bit.
        let mut root = 0_u128;
        for bit in (0..42).rev() {
            let larger = root | 1 << bit;
            if larger.pow(power) <= scaled {
                root = larger;
            }
        }
        u32::try_from(root & 0xffff_ffff).expect("32 bits are left")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Recalled: the examples of FIPS 180-4's companion page, and the empty message.
    #[test]
    fn known_messages_have_their_known_hash() {
        for (message, hash) in [
            ("", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
            ("abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
            (
                "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
                "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
            ),
        ] {
            assert_eq!(sha256(message.as_bytes()), hash);
        }
    }
}
