//! What a file would cost to parse, before it is.
//!
//! The parser compares each attribute of an element with all others, and each namespace with all it knows, and writes entities out
//! wherever they are named: files nobody drew make minutes or gigabytes of that.

use std::collections::{BTreeMap, BTreeSet};

use crate::design::{Fault, FaultKind, Limits, Place};

/// Entities within entities: more than the parser follows.
const DEEP: usize = 12;

/// Refuses what would take too long or too much memory to parse.
pub(super) fn weigh(text: &str, limits: &Limits) -> Result<(), Vec<Fault>> {
    let mut namespaces = BTreeSet::new();
    let mut entities = BTreeMap::new();
    let most = limits.letters;
    let mut written_out = 0_usize;
    let mut rest = text;
    while let Some(start) = rest.find(['<', '&']) {
        let here = &rest[start..];
        let too_much = |what, limit| {
            let before = &text[..text.len() - here.len()];
            let (line, column) =
                (before.matches('\n').count(), before.rsplit('\n').next().map_or(0, |l| l.chars().count()));
            let place = Place::on_line(super::vet::count(line), super::vet::count(column));
            Err(vec![Fault { place, kind: FaultKind::TooMuch { what, limit } }])
        };
        let past = |end: &str| here.find(end).map_or(here.len(), |at| at + end.len());
        let length = if let Some(after) = here.strip_prefix('&') {
            let name = after.split(';').next().unwrap_or_default();
            written_out = written_out.saturating_add(size(name, &entities, most, DEEP));
            1
        } else if here.starts_with("<!--") {
            past("-->")
        } else if here.starts_with("<![CDATA[") {
            past("]]>")
        } else if here.starts_with("<?") {
            past("?>")
        } else if here.starts_with("<!ENTITY") {
            let tag = Tag::new(here);
            let mut words = here[8..tag.length].split_whitespace();
            if let (Some(name), Some(value)) = (words.next(), tag.values.first()) {
                entities.entry(name).or_insert(*value);
            }
            tag.length
        } else if here.starts_with("<!DOCTYPE") {
            // Its declarations follow one by one.
            "<!DOCTYPE".len()
        } else {
            let tag = Tag::new(here);
            if tag.values.len() > limits.attributes {
                return too_much("attributes in one element", limits.attributes);
            }
            namespaces.extend(tag.namespaces);
            let named = tag.values.iter().flat_map(|value| value.split('&').skip(1));
            let names = named.map(|after| after.split(';').next().unwrap_or_default());
            written_out =
                names.fold(written_out, |sum, name| sum.saturating_add(size(name, &entities, most, DEEP)));
            tag.length
        };
        if written_out > most {
            return too_much("letters once its entities are written out", most);
        }
        if namespaces.len() > limits.namespaces {
            return too_much("namespaces", limits.namespaces);
        }
        rest = &here[length..];
    }
    Ok(())
}

/// How many bytes an entity comes to with those that it names, no longer counted past `most`; none for what is no entity of
/// the file.
fn size(name: &str, entities: &BTreeMap<&str, &str>, most: usize, deep: usize) -> usize {
    let Some(value) = entities.get(name) else { return 0 };
    let inner = value.split('&').skip(1).map(|after| after.split(';').next().unwrap_or_default());
    // What names itself again and again weighs too much, however little it is.
    let of = |name: &str| if deep == 0 { most } else { size(name, entities, most, deep - 1) };
    inner.fold(value.len(), |sum, name| if sum > most { sum } else { sum.saturating_add(of(name)) })
}

/// A tag up to its end, and what stands in quotes in it.
struct Tag<'a> {
    length: usize,
    values: Vec<&'a str>,
    namespaces: Vec<&'a str>,
}

impl<'a> Tag<'a> {
    /// `text` starts with it.
    fn new(text: &'a str) -> Self {
        let mut tag = Self { length: text.len(), values: Vec::new(), namespaces: Vec::new() };
        let mut at = 0;
        while let Some(next) = text[at..].find(['"', '\'', '>']) {
            let quote = &text[at + next..];
            if quote.starts_with('>') {
                tag.length = at + next + 1;
                break;
            }
            let inner = &quote[1..];
            let end = inner.find(&quote[..1]).unwrap_or(inner.len());
            tag.values.push(&inner[..end]);
            if text[at..at + next].contains("xmlns") {
                tag.namespaces.push(&inner[..end]);
            }
            at = (at + next + 1 + end + 1).min(text.len());
        }
        tag
    }
}

#[cfg(test)]
mod tests {
    use super::{Fault, Limits};

    fn weigh(text: &str) -> Result<(), Vec<Fault>> {
        super::weigh(text, &Limits::default())
    }

    fn told(text: &str) -> String {
        weigh(text).expect_err("it is too heavy")[0].to_string()
    }

    #[test]
    fn entities_are_weighed_as_often_as_they_are_named() {
        let long = "x".repeat(1000);
        let of = |names: usize| {
            format!("<!DOCTYPE svg [<!ENTITY a \"{long}\">]>\n<svg d='{}'/>", "&a;".repeat(names))
        };
        assert_eq!(weigh(&of(1000)), Ok(()));
        assert!(
            told(&of(1100)).contains("line 2:1: the drawing has more than 1048576 letters once its entities")
        );
        // Ten times ten times ten, and so on.
        let nested = (1..8).fold("<!ENTITY a0 \"ha\">".to_owned(), |all, k| {
            all + &format!("<!ENTITY a{k} '{}'>", format!("&a{};", k - 1).repeat(10))
        });
        assert!(
            told(&format!("<!DOCTYPE svg [{nested}]><svg><desc>&a7;</desc></svg>")).contains("written out")
        );
        assert_eq!(weigh(&format!("<!DOCTYPE svg [{nested}]><svg><desc>&a4;</desc></svg>")), Ok(()));
        // One that names itself.
        assert!(told("<!DOCTYPE svg [<!ENTITY a '&a;&a;'>]><svg>&a;</svg>").contains("written out"));
    }

    #[test]
    fn what_is_commented_or_quoted_does_not_weigh() {
        let many = "a='1' ".repeat(20_000);
        assert_eq!(
            weigh(&format!(
                "<!-- <svg {many}> --><svg d=\"> {}\"><![CDATA[<g {many}>]]></svg>",
                many.replace('\'', "")
            )),
            Ok(())
        );
        assert!(
            told(&format!("<svg><g {many}/></svg>"))
                .contains("line 1:6: the drawing has more than 10000 attributes in one")
        );
        // What never ends is for the parser to refuse.
        assert_eq!(weigh("<svg a='"), Ok(()));
        assert_eq!(weigh("<!-- "), Ok(()));
    }

    #[test]
    fn namespaces_count_once_each() {
        let of = |count: usize| (0..count).map(|k| format!("<g xmlns:n='u{k}'/>")).collect::<String>();
        assert_eq!(weigh(&of(2000).repeat(2)), Ok(()));
        assert!(told(&of(2100)).contains("more than 2000 namespaces"));
    }
}
