//! Finding a wood by what people call it.

use super::{Wood, WoodError};
use std::collections::BTreeSet;

/// The woods that the trade calls Douglas fir, as though they were one.
const DOUGLAS_FIRS: [&str; 3] =
    ["douglas_fir_coast", "douglas_fir_interior_west", "douglas_fir_interior_north"];
/// The woods that it calls southern pine.
const SOUTHERN_PINES: [&str; 4] = ["pine_loblolly", "pine_longleaf", "pine_shortleaf", "pine_slash"];

/// Names of the trade that are no part of the handbook's, each with the keys of the woods they mean.
///
/// Common practice in the North American and the British trade, short names of the shop among them. Some go by looks rather than kinship (Brazilian cherry is no
/// cherry), and so they count as wholes only, never word by word.
const TRADE_NAMES: [(&str, &[&str]); 52] = [
    ("african teak", &["iroko"]),
    ("alaskan yellow cedar", &["cedar_yellow_alaska"]),
    ("american ash", &["ash_white"]),
    ("american black walnut", &["walnut_black"]),
    ("american cherry", &["cherry_black"]),
    ("american hard maple", &["maple_sugar"]),
    ("american lime", &["basswood_american"]),
    ("american red oak", &["oak_northern_red"]),
    ("american tulipwood", &["yellow_poplar"]),
    ("american walnut", &["walnut_black"]),
    ("american white ash", &["ash_white"]),
    ("american white oak", &["oak_white"]),
    ("aromatic cedar", &["cedar_eastern_redcedar"]),
    ("aromatic red cedar", &["cedar_eastern_redcedar"]),
    ("ayc", &["cedar_yellow_alaska"]),
    ("big leaf maple", &["maple_bigleaf"]),
    ("black gum", &["tupelo_black"]),
    ("brazilian cherry", &["courbaril_jatoba"]),
    ("brazilian walnut", &["ipe"]),
    ("columbian pine", &DOUGLAS_FIRS),
    ("cypress", &["baldcypress"]),
    ("doug fir", &DOUGLAS_FIRS),
    ("douglas fir", &DOUGLAS_FIRS),
    ("eastern red cedar", &["cedar_eastern_redcedar"]),
    ("erc", &["cedar_eastern_redcedar"]),
    ("ewp", &["pine_eastern_white"]),
    ("fir", &["fir_white", "douglas_fir_coast", "douglas_fir_interior_west", "douglas_fir_interior_north"]),
    ("genuine mahogany", &["mahogany_true_honduras"]),
    ("gum", &["sweetgum", "tupelo_black"]),
    ("hard maple", &["maple_sugar"]),
    ("honduran mahogany", &["mahogany_true_honduras"]),
    ("lapacho", &["ipe"]),
    ("linden", &["basswood_american"]),
    ("olympic pine", &DOUGLAS_FIRS),
    ("oregon pine", &DOUGLAS_FIRS),
    ("p pine", &["pine_ponderosa"]),
    ("poplar", &["yellow_poplar"]),
    ("red cedar", &["cedar_eastern_redcedar", "cedar_western_redcedar"]),
    ("red elm", &["elm_slippery"]),
    ("red gum", &["sweetgum"]),
    ("red oak", &["oak_northern_red"]),
    ("rock maple", &["maple_sugar"]),
    ("soft maple", &["maple_red", "maple_silver"]),
    ("southern pine", &SOUTHERN_PINES),
    ("southern yellow pine", &SOUTHERN_PINES),
    ("syp", &SOUTHERN_PINES),
    ("tulip poplar", &["yellow_poplar"]),
    ("tulipwood", &["yellow_poplar"]),
    ("western red cedar", &["cedar_western_redcedar"]),
    ("white walnut", &["butternut"]),
    ("wrc", &["cedar_western_redcedar"]),
    ("yellow pine", &SOUTHERN_PINES),
];

/// Words of sheets and boards that are made of wood and are none. Common practice.
const SHEETS: [&str; 15] = [
    "blockboard",
    "chipboard",
    "fiberboard",
    "fibreboard",
    "flakeboard",
    "hardboard",
    "hdf",
    "lvl",
    "mdf",
    "multiply",
    "osb",
    "particleboard",
    "ply",
    "plyboard",
    "plywood",
];

/// The same, of several words.
const SHEET_NAMES: [&str; 3] = ["baltic birch", "particle board", "ply wood"];

/// How many near misses an error lists.
const NEAREST: usize = 3;

/// The wood called `text` among `woods`.
///
/// Whole names count before trade names, those before words that are part of a name, and names before
/// botanical ones.
pub(super) fn find<'a>(woods: &'a [Wood], text: &str) -> Result<&'a Wood, WoodError> {
    let asked = words(text);
    let unknown = || {
        let typed = text.trim().to_owned();
        if is_sheet(text, &asked) {
            WoodError::NotSolid { typed }
        } else {
            WoodError::Unknown { typed, nearest: nearest(woods, text) }
        }
    };
    if asked.is_empty() {
        return Err(unknown());
    }
    let part = |name: &str| words(name).is_superset(&asked);
    let passes: [&dyn Fn(&Wood) -> bool; 5] = [
        &|wood| compact(wood.key()) == compact(text) || names(wood).any(|name| same(name, text, &asked)),
        &|wood| trade_keys(text, &asked).contains(&wood.key()),
        &|wood| wood.botanical().is_some_and(|name| same(name, text, &asked)),
        &|wood| names(wood).any(part),
        &|wood| wood.botanical().is_some_and(part),
    ];
    for pass in passes {
        let mut found = woods.iter().filter(|wood| pass(wood));
        match (found.next(), found.next()) {
            (Some(wood), None) => return Ok(wood),
            (Some(first), Some(second)) => {
                let candidates = [first, second].into_iter().chain(found).map(|wood| wood.name().to_owned());
                return Err(WoodError::Ambiguous {
                    typed: text.trim().to_owned(),
                    candidates: candidates.collect(),
                });
            }
            (None, _) => {}
        }
    }
    Err(unknown())
}

/// The name as one says it, and as the handbook lists it.
fn names(wood: &Wood) -> impl Iterator<Item = &str> {
    [wood.name(), wood.printed_name()].into_iter()
}

/// Whether `name` has just the words asked for, or reads the same run together ("honey locust").
fn same(name: &str, text: &str, asked: &BTreeSet<String>) -> bool {
    words(name) == *asked || compact(name) == compact(text)
}

/// Whether a name is that of a sheet good, whatever it is made of.
fn is_sheet(text: &str, asked: &BTreeSet<String>) -> bool {
    SHEETS.iter().any(|word| asked.contains(*word)) || SHEET_NAMES.iter().any(|name| same(name, text, asked))
}

fn trade_keys(text: &str, asked: &BTreeSet<String>) -> &'static [&'static str] {
    TRADE_NAMES.iter().find(|(name, _)| same(name, text, asked)).map_or(&[], |(_, keys)| keys)
}

/// The words of a name in lower case, whatever stands between them; "spp." says nothing.
fn words(text: &str) -> BTreeSet<String> {
    let plain = plain(text);
    plain
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !["", "spp"].contains(word))
        .map(str::to_owned)
        .collect()
}

/// The letters of a name in lower case and nothing else.
fn compact(text: &str) -> String {
    plain(text).chars().filter(|c| c.is_alphanumeric()).collect()
}

/// Lower case without the accents that wood names have.
fn plain(text: &str) -> String {
    let bare = |c| match c {
        'á' | 'à' | 'â' | 'ã' => 'a',
        'ç' => 'c',
        'é' | 'è' | 'ê' => 'e',
        'í' => 'i',
        'ó' | 'ô' | 'õ' => 'o',
        'ú' | 'ü' => 'u',
        other => other,
    };
    text.to_lowercase().chars().map(bare).collect()
}

/// The names most like `text`, nearest first: within a third of its letters, at least two.
fn nearest(woods: &[Wood], text: &str) -> Vec<String> {
    let typed = compact(text);
    let within = (typed.chars().count() / 3).max(2);
    let distance = |name: &str| strsim::damerau_levenshtein(&typed, &compact(name));
    let of_wood = |wood: &Wood| {
        let whole = names(wood).chain(wood.botanical()).map(distance);
        // One word out of several is less of a match than a whole name.
        let single = words(wood.printed_name()).into_iter().map(|word| distance(&word) + 1);
        whole.chain(single).min().map(|distance| (distance, wood.name().to_owned()))
    };
    // Three letters are like too many others.
    let of_trade = TRADE_NAMES.iter().filter(|(name, _)| compact(name).len() > 3);
    let of_trade = of_trade.map(|(name, _)| (distance(name), (*name).to_owned()));
    let mut all: Vec<_> = woods.iter().filter_map(of_wood).chain(of_trade).collect();
    all.retain(|(distance, _)| *distance <= within);
    // Stable, so that equally near names keep the handbook's order.
    all.sort_by_key(|(distance, _)| *distance);
    all.into_iter().take(NEAREST).map(|(_, name)| name).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn trade_names_lead_to_woods_of_the_table() {
        for (name, keys) in TRADE_NAMES {
            assert!(!keys.is_empty(), "{name}");
            for key in keys {
                assert!(Wood::all().iter().any(|wood| wood.key() == *key), "{name}: {key}");
            }
        }
    }

    #[test]
    fn trade_names_stand_in_the_order_of_the_alphabet() {
        assert!(TRADE_NAMES.is_sorted_by_key(|(name, _)| *name));
    }

    #[test]
    fn every_name_of_every_wood_finds_it() {
        for wood in Wood::all() {
            let (name, printed) = (wood.name(), wood.printed_name());
            let reversed: Vec<_> = name.split(' ').rev().collect();
            for text in [
                wood.key().to_owned(),
                name.to_owned(),
                printed.to_owned(),
                name.to_uppercase(),
                printed.replace([',', '(', ')', '-'], " "),
                reversed.join("  "),
                wood.key().replace('_', "-"),
            ] {
                assert_eq!(Wood::find(&text).map(Wood::key), Ok(wood.key()), "{text}");
            }
            let botanical = wood.botanical().expect("the handbook gives one for each");
            match Wood::find(botanical) {
                Ok(found) => assert_eq!(found.key(), wood.key()),
                // Two growths of one species, or several species of one genus.
                Err(WoodError::Ambiguous { candidates, .. }) => {
                    assert!(
                        candidates.iter().any(|candidate| candidate == name),
                        "{botanical}: {candidates:?}"
                    );
                }
                Err(fault) => panic!("{botanical}: {fault}"),
            }
        }
    }

    #[test]
    fn woods_go_by_their_usual_names() {
        for (text, key) in [
            ("hard maple", "maple_sugar"),
            ("Rock Maple", "maple_sugar"),
            ("maple sugar", "maple_sugar"),
            ("cherry", "cherry_black"),
            ("walnut", "walnut_black"),
            ("white oak", "oak_white"),
            ("red oak", "oak_northern_red"),
            ("oak, red", "oak_northern_red"),
            ("jatoba", "courbaril_jatoba"),
            ("Jatobá", "courbaril_jatoba"),
            ("brazilian cherry", "courbaril_jatoba"),
            ("gonçalo alves", "goncalo_alves"),
            ("khaya", "mahogany_african_khaya"),
            ("honduras mahogany", "mahogany_true_honduras"),
            ("poplar", "yellow_poplar"),
            ("yellowpoplar", "yellow_poplar"),
            ("beech", "beech_american"),
            ("honey locust", "honeylocust"),
            ("western red cedar", "cedar_western_redcedar"),
            ("acer saccharum", "maple_sugar"),
            ("juglans", ""),
            ("prunus", "cherry_black"),
        ] {
            match Wood::find(text) {
                Ok(wood) => assert_eq!(wood.key(), key, "{text}"),
                Err(fault) => assert!(key.is_empty(), "{text}: {fault}"),
            }
        }
    }

    #[test]
    fn a_name_of_several_woods_lists_them() {
        let said = |text| Wood::find(text).unwrap_err().to_string();
        assert_eq!(
            said("maple"),
            "\"maple\" may be any of these woods: bigleaf maple, black maple, red maple, silver maple, sugar maple; name \
             one of them"
        );
        assert_eq!(
            said("soft maple"),
            "\"soft maple\" may be any of these woods: red maple, silver maple; name one of them"
        );
        assert!(said("white pine").contains("eastern white pine, western white pine"));
    }

    #[test]
    fn a_misspelt_name_suggests_the_nearest() {
        let said = |text| Wood::find(text).unwrap_err().to_string();
        assert!(
            said("suger maple").starts_with("no wood is called \"suger maple\"; did you mean sugar maple")
        );
        assert!(said("wallnut").contains("black walnut"), "{}", said("wallnut"));
        assert!(said("mapel").contains("maple"), "{}", said("mapel"));
        assert!(said("saplee").contains("sapele"), "{}", said("saplee"));
        assert_eq!(said("unobtainium"), "no wood is called \"unobtainium\"; see the list of woods");
    }

    #[test]
    fn short_names_of_the_shop_lead_to_their_woods() {
        let found = |text| Wood::find(text).map(Wood::key);
        for (text, key) in [
            ("P. pine", "pine_ponderosa"),
            ("EWP", "pine_eastern_white"),
            ("wrc", "cedar_western_redcedar"),
            ("aromatic cedar", "cedar_eastern_redcedar"),
            ("american black walnut", "walnut_black"),
            ("American white oak", "oak_white"),
            ("tulipwood", "yellow_poplar"),
            ("african mahogany", "mahogany_african_khaya"),
        ] {
            assert_eq!(found(text), Ok(key), "{text}");
        }
        let said = |text| Wood::find(text).unwrap_err().to_string();
        assert!(
            said("Doug fir").starts_with("\"Doug fir\" may be any of these woods: coast Douglas-fir,"),
            "{}",
            said("Doug fir")
        );
        assert!(
            said("SYP").contains("loblolly pine, longleaf pine, shortleaf pine, slash pine"),
            "{}",
            said("SYP")
        );
    }

    #[test]
    fn sheet_goods_get_an_answer_of_their_own() {
        for text in ["plywood", "Baltic birch", "birch ply", "1/2 MDF", "particle board", "OSB"] {
            assert_eq!(Wood::find(text), Err(WoodError::NotSolid { typed: text.to_owned() }), "{text}");
        }
        assert!(Wood::find("yellow birch").is_ok());
    }

    #[test]
    fn nothing_at_all_names_no_wood() {
        assert!(matches!(Wood::find(" , "), Err(WoodError::Unknown { .. })));
    }
}
