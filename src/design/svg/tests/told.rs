//! What is said of pieces and faults: the outlines that are meant, and numbers that show what is wrong.

use super::*;

fn refused(body: &str) -> String {
    read_with(&page(body), &Options::default()).unwrap_err()
}

#[test]
fn every_piece_names_the_outline_it_came_from() {
    // The second rectangle overlaps the first: an opening inside it, and beyond it a piece that touches at two corners.
    let design =
        read(&page(r#"<path id="p" fill-rule="evenodd" d="M10 10 H60 V60 H10Z M50 50 H70 V55 H50Z"/>"#));
    let told = design.reading.to_string();
    assert_eq!(areas(&design).len(), 2);
    assert_eq!(told.matches("from path \"p\"").count(), 2, "{told}");
}

#[test]
fn pieces_that_touch_at_a_corner_keep_their_own_outlines() {
    let told = read(&page(
        r#"<rect id="low" x="10" y="10" width="20" height="20"/><rect id="high" x="30" y="30" width="20" height="20"/>"#,
    ))
    .reading
    .to_string();
    assert!(
        told.contains("wood: low, from rect \"low\"") && told.contains("wood: high, from rect \"high\""),
        "{told}"
    );
}

#[test]
fn a_piece_cut_in_two_by_an_opening_names_its_outline_twice() {
    let design = read(&page(
        r#"<g fill="none" stroke="black"><rect id="bar" x="10" y="10" width="60" height="20"/>
           <rect id="saw" x="30" y="10" width="10" height="20"/></g>"#,
    ));
    let told = design.reading.to_string();
    assert_eq!(areas(&design).len(), 2);
    assert_eq!(told.matches("from rect \"bar\"").count(), 2, "{told}");
}

#[test]
fn what_is_too_large_is_named_by_the_outline_that_makes_it_so() {
    let told = refused(
        r#"<rect id="tiny" x="90" y="10" width="4" height="4"/><rect id="huge" width="9000" height="10"/>"#,
    );
    assert!(told.contains("rect \"huge\", line") && !told.contains("tiny"), "{told}");
    assert!(told.contains(": this is 9000 mm in its larger direction"), "{told}");
}

#[test]
fn what_is_too_large_by_a_hair_is_told_with_the_hair() {
    let told = refused(r#"<rect width="5000.3" height="10"/>"#);
    assert!(
        told.contains("this is 5000.3 mm in its larger direction and the most that is read is 5000 mm"),
        "{told}"
    );
}

#[test]
fn what_is_too_small_by_a_hair_is_told_with_the_hair() {
    for (size, written) in [("0.9999", "0.9999"), ("0.7", "0.700")] {
        let told = refused(&format!(r#"<rect width="{size}" height="0.6"/>"#));
        let whole =
            format!(": this is {written} mm in its larger direction and the least that is read is 1 mm");
        assert!(told.contains(&whole), "{told}");
    }
}

#[test]
fn what_is_too_large_together_is_named_by_its_ends() {
    let told = refused(
        r#"<rect id="mid" x="2000" width="4000" height="10"/><rect id="high" y="0" x="5000" width="4000" height="10"/>
           <rect id="low" width="3000" height="10"/>"#,
    );
    assert!(
        told.contains("rect \"low\", line") && told.contains("from here to rect \"high\" it is 9000 mm"),
        "{told}"
    );
    let tall = refused(
        r#"<rect id="a" y="-9000" width="10" height="4500"/><rect id="b" y="-4500" width="10" height="4500"/>"#,
    );
    assert!(
        tall.contains("rect \"b\", line") && tall.contains("from here to rect \"a\" it is 9000 mm"),
        "{tall}"
    );
}

#[test]
fn a_gap_as_wide_as_may_be_is_closed() {
    let design =
        read(&page(r#"<path fill="none" stroke="black" d="M20 20 H28 V62 H70 V70 H20.04 V20.03"/>"#));
    assert!(design.reading.to_string().contains("closed: a gap of 0.0500 mm"), "{}", design.reading);
}

#[test]
fn a_gap_that_is_too_wide_reads_so() {
    for (end, written) in [("20.0502", "0.0502 mm"), ("20.2", "0.200 mm")] {
        let told =
            refused(&format!(r#"<path fill="none" stroke="black" d="M20 20 H28 V62 H70 V70 H20 V{end}"/>"#));
        assert!(told.contains(&format!("is {written} away and gaps are closed up to 0.05 mm")), "{told}");
    }
}
