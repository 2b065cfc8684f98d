//! What `mend` says of each sample: the remedy that its line in `shapes/README.md` names is among those that do, or is said not to.

use std::path::Path;

use shortgrain::{
    check::{Finding, Form, Options, Part, Place, Ply, PlyWood, PushKind, Verdict, check_mended},
    design::read_board,
    mend::{Bar, Change, Cut, Goal, Kind, MendOptions, Mending, Remark, Remedy, Standing, weakest},
    season::Swing,
    units::{Angle, Force, Length},
    wood::Board,
};

use crate::{
    ask::{about, distance, only, piece},
    samples::Case,
};

impl Case {
    /// Some kinds of remedy, pushed so many times as hard as the board says.
    fn cared_for(&self, kinds: &[Kind], times: f64, goal: Goal) -> Mending {
        let mut case = self.clone();
        case.pushes.face = Force::n(times * case.pushes.face.as_n());
        case.pushes.side = Force::n(times * case.pushes.side.as_n());
        let folder = case.name.split('/').next().expect("a sample's name");
        let board = Path::new(env!("CARGO_MANIFEST_DIR")).join("shapes").join(folder).join("board.toml");
        let board = std::fs::read_to_string(board).expect("a sample's board");
        let name = read_board("board.toml", &board).expect("a sample's board is right").wood.expect("a wood");
        let options = MendOptions { kinds: kinds.to_vec(), ..MendOptions::default() };
        let mending = case.remedied(&name, goal, Options::default(), &options);
        // What is said of a piece drawn anew is what a check of that drawing says.
        let bare = weakest(&mending.before, &case.pushes).0;
        for remedy in mending.remedies.iter().filter(|remedy| remedy.shape().is_some()) {
            let again = case.checked_again(remedy, &Options::default()).expect("an outline can be checked");
            assert_eq!(Some(&again), remedy.after.as_ref(), "{}", case.name);
            assert_eq!(remedy.reaches_goal, goal.is_reached_by(again.verdict), "{}", case.name);
            about(remedy.gain.expect("it was proved"), weakest(&again, &case.pushes).0 / bare, 1e-9);
        }
        mending
    }

    /// A kind of remedy of white oak, and what a year does to it that takes the wood from 6 to 11 % and back.
    fn over_a_year(&self, kind: Kind) -> Mending {
        let swing = Some(Swing::between([6.0, 11.0]));
        let options = MendOptions { kinds: vec![kind], swing, ..MendOptions::default() };
        self.remedied("white oak", Goal::Sound, Options::default(), &options)
    }

    fn remedy(&self, kind: Kind) -> Remedy {
        let mut mending = self.cared_for(&[kind], 1.0, Goal::Sound);
        assert_eq!(mending.remedies.len(), 1, "{}: {:?}", self.name, mending.declined);
        mending.remedies.remove(0)
    }
}

pub(crate) fn bars(remedy: &Remedy) -> &[Bar] {
    match &remedy.change {
        Change::Outline { bars, .. } => bars,
        other => panic!("an outline, not {other:?}"),
    }
}

#[test]
fn the_bridges_of_408_move_to_3_and_9_o_clock() {
    let remedy = only("house-number").remedy(Kind::MoveBridge);
    assert!(remedy.reaches_goal, "short by {:?}", remedy.shortfall);
    // The 0 stands upright about 163, 81; its bowl's middle line is 26.65 to either side.
    for x in [163.15 - 26.65, 163.15 + 26.65] {
        let found =
            bars(&remedy).iter().any(|bar| (bar.at.x - x).abs() < 2.0 && (bar.at.y - 81.0).abs() < 6.0);
        assert!(found, "{:?}", bars(&remedy));
    }
    // None of the places is a short-grain bridge any more.
    let after = remedy.after.as_ref().expect("it was proved");
    assert!(after.places.iter().all(|place| place.form != Form::Island || place.verdict == Verdict::Sound));
}

#[test]
fn or_its_bridges_double_in_width() {
    let remedy = only("house-number").remedy(Kind::Widen);
    assert!(remedy.reaches_goal, "short by {:?}", remedy.shortfall);
    for bar in bars(&remedy) {
        assert!((6.3..6.5).contains(&bar.from_mm.expect("it was there")), "{bar:?}");
    }
    // The weakest takes about twice its width, the others less.
    let widest = bars(&remedy).iter().map(|bar| bar.to_mm).fold(0.0, f64::max);
    about(widest / 6.4, 2.0, 0.25);
    let shape = remedy.shape().expect("a new outline");
    assert_eq!(shape.polygon().interiors().len(), only("house-number").shape.polygon().interiors().len());
}

#[test]
fn with_upright_grain_level_bridges_move_to_the_top_and_the_bottom() {
    for (marker, counter) in [("marker-D", 146.5), ("marker-P", 205.4), ("marker-R", 262.0)] {
        let case = piece("planter-markers", marker);
        let mending = case.cared_for(&[Kind::MoveBridge], 1.0, Goal::Sound);
        let remedy = mending.remedies.first().unwrap_or_else(|| panic!("{marker}: {:?}", mending.declined));
        assert!(
            bars(remedy).iter().all(|bar| (bar.at.x - counter).abs() < 6.0),
            "{marker}: {:?}",
            bars(remedy)
        );
        let after = remedy.after.as_ref().expect("it was proved");
        let islands = after.places.iter().filter(|place| place.form == Form::Island);
        assert!(islands.clone().all(|place| place.verdict == Verdict::Sound), "{marker}");
    }
}

/// The level bridges of the B hold the wood beside its stem as well: were they moved, that wood would hang on the rim alone and break sooner. So they
/// stay where they are, and a little more wood in each is enough.
#[test]
fn the_bridges_of_a_b_stay_and_are_widened() {
    let mending =
        piece("planter-markers", "marker-B").cared_for(&[Kind::MoveBridge, Kind::Widen], 1.0, Goal::Sound);
    let declined: Vec<Kind> = mending.declined.iter().map(|declined| declined.kind).collect();
    assert_eq!(declined, [Kind::MoveBridge], "{:?}", mending.declined);
    let widened = mending.remedy(Kind::Widen).expect("its bridges have walls to move");
    assert!(widened.cures(), "short by {:?}", widened.shortfall);
    let places: Vec<usize> = bars(widened).iter().flat_map(|bar| bar.places.clone()).collect();
    assert_eq!(places, [1, 2, 3, 4], "the four bridges and nothing else");
    assert!(bars(widened).iter().all(|bar| bar.to_mm < 1.5 * 3.2), "{:?}", bars(widened));
}

/// Of the cut-out numerals the 4 alone, a closed figure, is cured, by a much thicker blank: its bar is bent through its thickness, which bears as the square of that
/// (W = w·t²/6, any book on beams), and has to bear some five times as much.
#[test]
fn a_four_is_cured_by_a_blank_more_than_twice_as_thick() {
    let case = piece("choir-numerals", "four");
    let remedy = case.remedy(Kind::Thicken);
    assert!(remedy.cures(), "short by {:?}", remedy.shortfall);
    let Change::Thickness { to_mm } = remedy.change else { panic!("a thickness") };
    let gain = remedy.gain.expect("it was proved");
    about((to_mm / case.board.thickness.as_mm()).powi(2), gain, 0.25);
    assert!(gain > 4.0, "{gain}");
}

/// The open ones are not: neither a turn nor a blank three times as thick nor three plies, and it is said.
#[test]
#[ignore = "takes minutes: cargo test --release --test scenarios -- --ignored"]
fn open_numerals_are_not_cured_in_solid_wood() {
    for name in ["two", "five", "seven"] {
        let kinds = [Kind::Turn, Kind::Thicken, Kind::ThreePly, Kind::NotSolidWood];
        let mending = piece("choir-numerals", name).cared_for(&kinds, 1.0, Goal::Sound);
        assert!(mending.cheapest().is_none(), "{name}: {:?}", mending.cheapest());
        let last = mending.remedy(Kind::NotSolidWood).expect("it is always listed");
        assert_eq!(last.remarks, [Remark::Plywood { is_needed: true }], "{name}");
    }
}

/// Two thirds of its webs are short whichever way it lies; the sixteen that are not sound take a little more wood.
#[test]
#[ignore = "takes minutes: cargo test --release --test scenarios -- --ignored"]
fn a_hive_is_not_turned_but_given_wider_webs() {
    let mending = only("bee-hive").cared_for(&[Kind::Turn, Kind::Widen], 1.0, Goal::Sound);
    assert!(mending.remedy(Kind::Turn).is_none_or(|turn| !turn.reaches_goal));
    let widened = mending.remedy(Kind::Widen).unwrap_or_else(|| panic!("{:?}", mending.declined));
    assert!(widened.cures(), "short by {:?}", widened.shortfall);
    assert!(bars(widened).iter().all(|bar| bar.to_mm < 1.5 * 4.8), "{:?}", bars(widened));
}

/// No cure in wood: six times as much would be asked of arms 4.8 mm wide, even in three plies or a blank three times as thick.
#[test]
#[ignore = "takes minutes: cargo test --release --test scenarios -- --ignored"]
fn a_crystal_is_told_to_be_no_work_for_solid_wood() {
    let kinds = [Kind::Turn, Kind::Thicken, Kind::ThreePly, Kind::NotSolidWood];
    let mending = only("snow-crystal").cared_for(&kinds, 1.0, Goal::Sound);
    assert!(mending.cheapest().is_none() && mending.remedy(Kind::Turn).is_none());
    let least = mending.remedies.iter().filter_map(|remedy| remedy.shortfall).fold(f64::INFINITY, f64::min);
    assert!(least > 3.0, "{least}");
    let last = mending.remedy(Kind::NotSolidWood).expect("it is always listed");
    assert_eq!(last.remarks, [Remark::Plywood { is_needed: true }]);
}

#[test]
fn a_dial_is_not_turned() {
    let mending = only("clock-dial").cared_for(&[Kind::Turn], 1.0, Goal::Sound);
    assert!(mending.remedies.iter().all(|turn| !turn.reaches_goal));
}

#[test]
#[ignore = "takes most of a minute: cargo test --release --test scenarios -- --ignored"]
fn a_dial_is_glued_up_of_three_plies() {
    let mending = only("clock-dial").cared_for(&[Kind::ThreePly], 1.0, Goal::Sound);
    let plies = mending.remedies.first().unwrap_or_else(|| panic!("{:?}", mending.declined));
    assert!(
        plies.cures() && plies.standing == Standing::Proved,
        "{:?} {:?}",
        plies.standing,
        plies.shortfall
    );
}

/// A bridge that is cut through leaves a step of some hundredths of a millimetre in the wall: that keeps no place from the solid model.
#[test]
fn a_hook_with_its_bridge_moved_is_solved_wherever_it_may_break() {
    let case = only("coat-hook-10");
    let after = case.remedy(Kind::MoveBridge).after.expect("it was proved");
    for place in &after.places {
        for push in [&place.face, &place.side] {
            // One bar far stronger than its push has no mesh: its line ends in the step.
            let strong = push.over(&case.pushes) >= 6.0;
            assert!(push.solved.is_some() || strong, "{} {}", place.id, push.breaks_at_n);
        }
    }
}

/// A backer across a board 152 mm wide is pulled across its grain by more than it bears, and is thick enough to split: it reaches the
/// goal, and is no cure.
#[test]
fn a_backer_that_a_year_splits_is_no_cure() {
    let mending = only("house-number").over_a_year(Kind::Backer);
    let backer = mending.remedy(Kind::Backer).unwrap_or_else(|| panic!("{:?}", mending.declined));
    assert!(backer.reaches_goal && backer.splits() && !backer.lasts() && !backer.cures());
    assert!(mending.cheapest().is_none());
}

/// What is proved of a blank of layers is what a check of those layers says; behind a board that keeps its thickness no place counts for
/// less than the board alone bears, and where the glue gives way first the place is named.
#[test]
fn a_hook_that_is_backed_bears_no_less_than_its_board_anywhere() {
    let case = only("coat-hook-10");
    let mending = case.cared_for(&[Kind::Backer, Kind::ThreePly], 1.0, Goal::Sound);
    let layered = |kind: Kind| {
        let remedy = mending.remedies.iter().find(|remedy| remedy.kind == kind);
        let remedy = remedy.unwrap_or_else(|| panic!("{:?}", mending.declined));
        assert!(
            remedy.reaches_goal && remedy.standing == Standing::Proved,
            "{kind:?} {:?}",
            remedy.shortfall
        );
        let Change::Layers { plies } = &remedy.change else { panic!("layers, not {:?}", remedy.change) };
        (remedy, plies.as_slice(), remedy.after.as_ref().expect("it was proved"))
    };
    let cross = |heights_mm: [f64; 2], deg: f64| Ply {
        outline: None,
        heights_mm,
        wood: Some(PlyWood { mechanics: case.wood.clone(), grain: Angle::deg(deg) }),
    };
    let again = |thickness: f64, ply: Ply| {
        let board = Board { thickness: Length::mm(thickness), ..case.board };
        check_mended(&case.name, &case.shape, &board, &case.wood, &case.pushes, &Options::default(), &[ply])
            .expect("a skeleton")
    };
    let at = |finding: &Finding, place: &Place| {
        finding.places.iter().find(|other| other.at == place.at).expect("the same place").clone()
    };
    let kinds = [PushKind::Face, PushKind::Side];

    let (remedy, plies, after) = layered(Kind::Backer);
    let checked = again(plies[0].thickness_mm, cross([-plies[1].thickness_mm, 0.0], plies[1].grain_deg));
    let mut parted = Vec::new();
    for bare in &mending.before.places {
        let (now, alone) = (at(after, bare), at(&checked, bare));
        for kind in kinds {
            let (was, glued) = (bare.push(kind).breaks_at_n, alone.push(kind).breaks_at_n);
            about(now.push(kind).breaks_at_n, was.max(glued), 1e-9);
            // What is far strong enough in the thicker blank is left to the closed form.
            let Some(solved) = &alone.push(kind).solved else {
                assert!(alone.push(kind).over(&case.pushes) >= 6.0, "{} {glued}", bare.id);
                continue;
            };
            if glued < was {
                assert_eq!(solved.part, Part::GlueLine);
                parted.push(bare.id);
            }
        }
    }
    parted.dedup();
    assert!(!parted.is_empty(), "the stub of the 1 is so short that its glue is sheared by the pad itself");
    assert!(remedy.remarks.contains(&Remark::GlueFirst { places: parted }), "{:?}", remedy.remarks);

    let (_, plies, after) = layered(Kind::ThreePly);
    let whole: f64 = plies.iter().map(|ply| ply.thickness_mm).sum();
    let checked = again(whole, cross([whole / 3.0, 2.0 * whole / 3.0], plies[1].grain_deg));
    for place in &after.places {
        for kind in kinds.into_iter().filter(|kind| place.push(*kind).solved.is_some()) {
            about(at(&checked, place).push(kind).breaks_at_n, place.push(kind).breaks_at_n, 1e-9);
        }
    }
}

/// A board behind the one weak bridge of the 10 is enough, with a small part of the wood that a whole backer takes: its numbers are those of a
/// check of the board and it, the bare board at its end and the glue that peels there among them.
#[test]
fn a_hook_is_backed_behind_its_weak_bridge_alone() {
    use geo::{Area, Distance, Euclidean};
    let case = only("coat-hook-10");
    let mending = case.cared_for(&[Kind::PartBacker, Kind::Backer], 1.0, Goal::Sound);
    let [part, whole] = [Kind::PartBacker, Kind::Backer].map(|kind| {
        let remedy = mending.remedy(kind).unwrap_or_else(|| panic!("{:?}", mending.declined));
        assert!(remedy.cures(), "{kind:?} {:?}", remedy.shortfall);
        remedy
    });
    let [board] = part.backers() else { panic!("one board, not {:?}", part.backers()) };
    assert_eq!(board.places, [1]);
    let Change::Layers { plies } = &whole.change else { panic!("layers, not {:?}", whole.change) };
    let insert = &board.insert;
    let wood = insert.length_mm * insert.width_mm * insert.depth_mm;
    let all = case.shape.area() * plies[1].thickness_mm;
    assert!(wood < all / 10.0, "{wood} of {all} mm³");
    // It keeps off the outline, and what is glued is wood.
    let rim = Euclidean.distance(insert.outline.exterior(), case.shape.polygon().exterior());
    let glued: f64 = insert.after_piercing.iter().map(Area::unsigned_area).sum();
    assert!(rim >= 3.0 && glued < insert.outline.unsigned_area(), "{rim} {glued}");
    let after = part.after.as_ref().expect("it was proved");
    assert_eq!(case.checked_again(part, &Options::default()).as_ref(), Some(after));
    let place =
        after.places.iter().find(|place| place.at == mending.before.places[0].at).expect("it is there");
    let parts: Vec<Part> =
        place.face.solved.iter().flat_map(|solved| &solved.parts).map(|(part, _)| *part).collect();
    for asked in [Part::ShowFace, Part::FloorJoint, Part::InsertEnd, Part::Insert] {
        assert!(parts.contains(&asked), "{asked:?} of {parts:?}");
    }
    // It is glued on before anything is pierced.
    assert_eq!(part.order[0].cut, Cut::Laminate(Kind::PartBacker));
}

/// The bars of a figure stand one above the other, so that boards behind them would be one of 137 mm, which a year splits: each is cut short of the
/// next instead. The bar of the 4 stands at the edge of its stem, where no board has wood under both edges that does not lie off its middle.
#[test]
fn boards_behind_408_are_cut_short_of_each_other_and_last() {
    use geo::{Distance, Euclidean};
    let case = only("house-number");
    let mending = case.over_a_year(Kind::PartBacker);
    let part = mending.remedy(Kind::PartBacker).unwrap_or_else(|| panic!("{:?}", mending.declined));
    assert!(part.cures() && !part.splits(), "{:?}", part.shortfall);
    let boards = part.backers();
    assert!(boards.len() == 7 && boards.iter().all(|board| board.places.len() == 1), "{boards:?}");
    for (k, board) in boards.iter().enumerate() {
        for other in &boards[k + 1..] {
            let apart = Euclidean.distance(&board.insert.outline, &other.insert.outline);
            assert!(apart >= 2.0 - 1e-6, "{:?} {:?}: {apart}", board.places, other.places);
        }
    }
}

#[test]
fn pushed_less_a_dial_is_given_wider_spokes_and_keeps_its_size() {
    let case = only("clock-dial");
    let mending = case.cared_for(&[Kind::Widen], 0.83, Goal::Sound);
    let widened = mending.remedies.first().unwrap_or_else(|| panic!("{:?}", mending.declined));
    assert!(widened.cures() && widened.gain.is_some_and(|gain| gain > 1.1), "{:?}", widened.gain);
    // The openings give the wood, a third of their width at most: 28.5 mm half way along a spoke.
    let taken = bars(widened).iter().map(|bar| bar.to_mm - bar.from_mm.expect("it was there"));
    assert!(taken.fold(0.0, f64::max) <= 28.5 / 3.0, "{:?}", bars(widened));
    let [before, after] = [&case.shape, widened.shape().expect("a new outline")].map(|shape| {
        use geo::BoundingRect;
        shape.polygon().bounding_rect().expect("it has a size")
    });
    about(after.width() / before.width(), 1.0, 1e-6);
    about(after.height() / before.height(), 1.0, 1e-6);
}

/// The same turns are tried in `turning`; this asks of them through `mend`.
fn hears_of_no_turn_that_would_do(name: &str) {
    let mending = only(name).cared_for(&[Kind::Turn], 1.0, Goal::Sound);
    assert!(mending.remedies.iter().all(|remedy| !remedy.reaches_goal), "{name}");
}

#[test]
fn a_token_of_three_webs_hears_of_no_turn_that_would_do() {
    hears_of_no_turn_that_would_do("game-token");
}

#[test]
#[ignore = "takes minutes: cargo test --release --test scenarios -- --ignored"]
fn hexagons_and_crystals_hear_of_no_turn_that_would_do() {
    ["bee-hive", "snow-crystal", "router-template"].into_iter().for_each(hears_of_no_turn_that_would_do);
}

/// With its 24 places the blank of plies is too much for one mesh, and is solved some of the places at a time.
#[test]
#[ignore = "takes minutes: cargo test --release --test scenarios -- --ignored"]
fn a_router_template_is_cured_by_three_plies() {
    let remedy = only("router-template").remedy(Kind::ThreePly);
    assert_eq!(remedy.standing, Standing::Proved);
    assert!(remedy.cures(), "short by {:?}", remedy.shortfall);
}

#[test]
fn thin_rims_along_the_grain_are_left_alone() {
    // A third of a hole, which is what measures the pasta, is the most that its webs may take.
    let mending = only("pasta-gauge").cared_for(&[Kind::Widen], 1.0, Goal::Sound);
    let remedy = mending.remedies.first().unwrap_or_else(|| panic!("{:?}", mending.declined));
    for bar in bars(remedy) {
        assert!((bar.at.y - 46.5).abs() < 12.0, "a web or an end, not a rim beside a hole: {bar:?}");
    }
}

/// The holes of the gauge are circles, so the walls of its webs are arcs, and moved they are again: its files hold few segments, which enclose what
/// the piece that was proved does. What is left between two holes is as wide as is told.
#[test]
fn a_gauge_that_is_widened_is_cut_in_arcs() {
    use geo::{BoundingRect, Distance, Euclidean};
    use shortgrain::fit::{Outline, Recovery};
    let remedy = only("pasta-gauge").remedy(Kind::Widen);
    assert!(remedy.reaches_goal, "short by {:?}", remedy.shortfall);
    let shape = remedy.shape().expect("a new outline");
    let outline = Outline::of(shape, &Recovery::default());
    let (mut arcs, mut all) = (0, 0);
    for segment in outline.openings.iter().flat_map(|opening| opening.segments()) {
        all += 1;
        arcs += usize::from(segment.circle().is_some());
    }
    assert!(all <= 110 && arcs >= 20, "{arcs} of {all}");
    about(outline.area() / shape.area(), 1.0, 1e-3);
    // From left to right; a web that is no bar is as it was.
    let mut openings: Vec<_> = shape.polygon().interiors().iter().collect();
    let middle = |ring: &&geo_types::LineString<f64>| ring.bounding_rect().expect("it has a size").center().x;
    openings.sort_by(|a, b| middle(a).total_cmp(&middle(b)));
    assert_eq!(openings.len(), 4);
    let mut wider = 0;
    for pair in openings.windows(2) {
        let beside = |bar: &&Bar| (middle(&pair[0])..middle(&pair[1])).contains(&bar.at.x);
        let bar = bars(&remedy).iter().find(beside);
        let (told, left) = (bar.map_or(8.6, |bar| bar.to_mm), Euclidean.distance(pair[0], pair[1]));
        assert!((left - told).abs() < 0.1, "{left} is left of a web that is told {told} mm wide");
        wider += usize::from(bar.is_some());
    }
    assert!(wider >= 2, "{:?}", bars(&remedy));
}

#[test]
fn a_label_is_not_turned_but_its_short_sides_widened_as_far_as_its_window_allows() {
    let case = only("drawer-label");
    let turned = case.cared_for(&[Kind::Turn], 1.0, Goal::Sound);
    assert!(turned.remedies.is_empty() && turned.declined.len() == 1);
    let mending = case.cared_for(&[Kind::Widen], 1.0, Goal::Sound);
    let remedy = mending.remedies.first().unwrap_or_else(|| panic!("{:?}", mending.declined));
    let sides = bars(remedy);
    assert!(sides.len() == 2 && !remedy.reaches_goal, "{sides:?}");
    // A third of the window is 19 mm, and both sides share it.
    let taken: f64 = sides.iter().map(|bar| bar.to_mm - bar.from_mm.expect("it was there")).sum();
    about(taken, 57.0 / 3.0, 0.03);
    // Bent through its thickness a side bears in proportion to its width (W = w·t²/6, any book on beams).
    let wider =
        sides.iter().map(|bar| bar.to_mm / bar.from_mm.expect("it was there")).fold(f64::INFINITY, f64::min);
    about(remedy.gain.expect("it was proved"), wider, 0.1);
    // The label keeps its size: the window gives the wood.
    let [before, after] = [&case.shape, remedy.shape().expect("a new outline")].map(|shape| {
        use geo::BoundingRect;
        shape.polygon().bounding_rect().expect("it has a size")
    });
    about(after.width() / before.width(), 1.0, 1e-6);
}

#[test]
fn a_knob_is_turned() {
    let remedy = piece("number-tray", "tile-0").remedy(Kind::Turn);
    assert!(remedy.cures() && remedy.gain.is_some_and(|gain| gain > 3.0));
}

#[test]
fn the_bridges_of_the_10_are_widened_no_more_than_they_have_to_be() {
    let case = only("coat-hook-10");
    let remedy = case.remedy(Kind::Widen);
    assert!(remedy.reaches_goal, "short by {:?}", remedy.shortfall);
    let after = remedy.after.as_ref().expect("it was proved");
    // Just enough: the weakest of what was widened is not far above what sound asks for.
    let lack = Goal::Sound.shortfall(after, &case.pushes);
    assert!((0.8..=1.0).contains(&lack), "{lack}");
    assert!(
        bars(&remedy)
            .iter()
            .all(|bar| after.places.iter().any(|place| distance(place, [bar.at.x, bar.at.y]) < 3.0))
    );
}

#[test]
fn the_insert_of_the_10_goes_in_first_since_an_empty_pocket_leaves_it_weaker_still() {
    let case = only("coat-hook-10");
    let remedy = case.remedy(Kind::Insert);
    let empty = remedy.empty_pockets.as_ref().expect("it was proved");
    let [bare, empty, glued] = [&case.mended(), empty, remedy.after.as_ref().expect("it was proved")]
        .map(|finding| weakest(finding, &case.pushes).0);
    assert!(empty < 0.95 * bare && bare < glued, "{empty} {bare} {glued}");
    // Its bridge is 5.0 mm wide and wants a strip of 6.25, narrower than the usual bit of 6.35: it is as wide as that gets in.
    let strip = &remedy.strips()[0];
    assert!((strip.insert.width_mm - 6.4).abs() < 1e-6, "{}", strip.insert.width_mm);
    strip.fitted(case.board.thickness, &shortgrain::fit::Options::default()).expect("the bit gets in");
    let told = |remark: &Remark| matches!(remark, Remark::WideAsBit { places, .. } if *places == [1]);
    assert!(remedy.remarks.iter().any(told), "{:?}", remedy.remarks);
    let openings = case.shape.polygon().interiors().len();
    let cuts: Vec<&Cut> = remedy.order.iter().map(|step| &step.cut).collect();
    assert_eq!(cuts[..2], [&Cut::Pockets(vec![1]), &Cut::Glue(vec![1])]);
    assert_eq!((cuts.len(), cuts[openings + 2]), (openings + 3, &Cut::Outline));
}

/// The two bridges of the 0 lie between its two halves: the second of them is the last opening that is cut, but for that beside the upright
/// web, which is weaker than the bridge that is left once the first is moved.
#[test]
fn the_halves_of_a_nought_come_after_the_openings_that_free_nothing() {
    let mending = only("coat-hook-10").cared_for(&[Kind::QuarterSawn], 1.0, Goal::Sound);
    let frees: Vec<(&Cut, usize)> = mending.order.iter().map(|step| (&step.cut, step.frees.len())).collect();
    let first = frees.iter().position(|(_, frees)| *frees > 0).expect("some cut frees a place");
    assert!(first >= 1 && frees[first..].iter().all(|(_, frees)| *frees > 0), "{frees:?}");
    // Place 1 and place 3 are its bridges; nothing but the outline comes after the weakest is freed.
    let last = &mending.order[mending.order.len() - 2];
    assert!(last.frees.contains(&1) && last.frees.contains(&3), "{:?}", mending.order);
}

#[test]
fn a_thicker_blank_is_as_thick_as_it_has_to_be() {
    let case = only("coat-hook-10");
    let remedy = case.remedy(Kind::Thicken);
    let Change::Thickness { to_mm } = remedy.change else { panic!("a thickness") };
    assert!(
        remedy.reaches_goal
            && to_mm > case.board.thickness.as_mm()
            && to_mm < 1.6 * case.board.thickness.as_mm(),
        "{to_mm}"
    );
    // A tenth less is not sound.
    let mut thinner = case;
    thinner.board.thickness = Length::mm(0.9 * to_mm);
    assert_ne!(thinner.finding().verdict, Verdict::Sound, "{to_mm}");
}
