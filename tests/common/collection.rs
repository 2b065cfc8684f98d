//! A collection of two fonts, made of one: the second is called Zweite Sans where the first is DejaVu Sans.

/// The tables are shared, but for the second font's names.
///
/// OpenType Specification 1.9, "OpenType Font File": a collection's header holds where each font's table directory lies, which holds where each table
/// lies, all from the start of the file.
pub(crate) fn pair(font: &[u8]) -> Vec<u8> {
    let number = |at: usize| u32::from_be_bytes(font[at..at + 4].try_into().expect("four bytes"));
    let tables = usize::from(u16::from_be_bytes([font[4], font[5]]));
    let directory = 12 + 16 * tables;
    let shift = 20 + 2 * directory;
    let mut names = Vec::new();
    let mut first = font[..directory].to_vec();
    let mut second = first.clone();
    for record in (12..directory).step_by(16) {
        let (from, length) = (number(record + 8) as usize, number(record + 12) as usize);
        let mut to = from + shift;
        first[record + 8..record + 12].copy_from_slice(&(to as u32).to_be_bytes());
        if &font[record..record + 4] == b"name" {
            names = renamed(&font[from..from + length]);
            to = (shift + font.len()).next_multiple_of(4);
        }
        second[record + 8..record + 12].copy_from_slice(&(to as u32).to_be_bytes());
    }
    let mut pair = b"ttcf\0\x01\0\0\0\0\0\x02".to_vec();
    pair.extend(20_u32.to_be_bytes());
    pair.extend((20 + directory as u32).to_be_bytes());
    pair.extend(first);
    pair.extend(second);
    pair.extend(font);
    pair.resize(pair.len().next_multiple_of(4), 0);
    pair.extend(names);
    pair
}

/// A table of names, in one byte a letter or in two.
fn renamed(names: &[u8]) -> Vec<u8> {
    let wide = |word: &str| word.encode_utf16().flat_map(u16::to_be_bytes).collect::<Vec<u8>>();
    let mut names = names.to_vec();
    for (old, new) in [(b"DejaVu".to_vec(), b"Zweite".to_vec()), (wide("DejaVu"), wide("Zweite"))] {
        while let Some(at) = names.windows(old.len()).position(|window| window == old) {
            names[at..at + new.len()].copy_from_slice(&new);
        }
    }
    names
}
