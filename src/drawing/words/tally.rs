//! What a set is made of, in a sentence.

use super::listed;
use crate::drawing::cutting::Tally;

/// `To get out: 6 blanks, all of one size; 3 inserts and one spare, from one strip. One piece is cut from both sides.`
pub fn tally(tally: &Tally) -> String {
    let many = |n: usize, one: &str| match n {
        1 => format!("one {one}"),
        n => format!("{n} {one}s"),
    };
    let mut text = format!("To get out: {}", many(tally.blanks, "blank"));
    match tally.sizes {
        _ if tally.blanks == 1 => {}
        1 => text.push_str(", all of one size"),
        sizes => text.push_str(&format!(" of {sizes} sizes")),
    }
    if tally.boards > 0 {
        text.push_str(&format!(", glued up of {}", many(tally.boards, "board")));
    }
    let counts = [(tally.inserts, "insert"), (tally.spares, "spare"), (tally.backers, "backer")];
    let glued: Vec<String> =
        counts.into_iter().filter(|(n, _)| *n > 0).map(|(n, one)| many(n, one)).collect();
    if !glued.is_empty() {
        text.push_str(&format!("; {}, from {}", listed(&glued), many(tally.strips, "strip")));
    }
    text.push('.');
    match tally.turned_over {
        0 => {}
        1 => text.push_str(" One piece is cut from both sides."),
        n => text.push_str(&format!(" {n} pieces are cut from both sides.")),
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_is_told_by_number() {
        let plain = Tally {
            blanks: 1,
            sizes: 1,
            boards: 0,
            inserts: 0,
            spares: 0,
            backers: 0,
            strips: 0,
            turned_over: 0,
        };
        assert_eq!(tally(&plain), "To get out: one blank.");
        assert_eq!(tally(&Tally { boards: 3, ..plain }), "To get out: one blank, glued up of 3 boards.");
        let set = Tally { blanks: 6, sizes: 2, inserts: 3, spares: 1, strips: 1, turned_over: 2, ..plain };
        assert_eq!(
            tally(&set),
            "To get out: 6 blanks of 2 sizes; 3 inserts and one spare, from one strip. 2 pieces are cut from both sides."
        );
        let alike = Tally { sizes: 1, inserts: 0, spares: 0, backers: 2, strips: 2, turned_over: 0, ..set };
        assert_eq!(tally(&alike), "To get out: 6 blanks, all of one size; 2 backers, from 2 strips.");
    }
}
