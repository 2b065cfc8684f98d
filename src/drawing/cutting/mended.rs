//! A piece as it is cut once a remedy is done.

use super::super::words;
use super::{Backer, Piece, Ply, Pocket};
use crate::fit::{FitError, Options, Outline, Recovery};
use crate::mend::{self, Change, Kind, Remedy, Strip};
use crate::shape::Shape;
use crate::units::{Angle, Length};
use crate::wood::Board;

/// Why a remedy has no files for cutting.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum NotCut {
    /// It says what not to make the piece of, and no more.
    #[error("what is of no solid wood is not cut here: it only says what not to make the piece of")]
    NotWood,
    /// Inserts that cannot be made to go into their pockets.
    #[error("{}", .0.iter().map(NoFit::to_string).collect::<Vec<_>>().join("\n"))]
    NoFit(Vec<NoFit>),
}

impl NotCut {
    /// Why no remedy of a kind has files for cutting.
    pub const fn of(kind: Kind) -> Option<Self> {
        match kind {
            Kind::NotSolidWood => Some(Self::NotWood),
            Kind::Turn
            | Kind::MoveBridge
            | Kind::Widen
            | Kind::Thicken
            | Kind::QuarterSawn
            | Kind::OtherWood
            | Kind::Insert
            | Kind::PartBacker
            | Kind::Backer
            | Kind::ThreePly => None,
        }
    }
}

/// An insert that cannot be made to go into its pocket.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("the insert for place {}: {error}", .places.iter().map(usize::to_string).collect::<Vec<_>>().join(", "))]
pub struct NoFit {
    /// The places it serves, by number.
    pub places: Vec<usize>,
    /// Everything that is wrong with it.
    pub error: FitError,
}

impl Piece {
    /// A piece once a remedy is done: the outline and the grain it is cut with, its blank's wood and thickness, the pockets for its
    /// inserts, the boards on its back, and those that its blank is glued up of. `drawn` is the piece as drawn, `board` and `wood` are its own.
    ///
    /// Of the options a strip's own depth and the board's thickness stand before theirs.
    ///
    /// # Errors
    ///
    /// [`NotCut`]: a piece that is to be of no solid wood, and inserts that a bit cannot cut, all of them at once.
    pub fn mended(
        name: impl Into<String>,
        drawn: &Shape,
        board: &Board,
        wood: &str,
        remedy: &Remedy,
        options: &Options,
    ) -> Result<Self, NotCut> {
        let as_drawn = Self::of(name, drawn, board.grain).with_board(wood, board.thickness);
        Ok(match &remedy.change {
            Change::Grain { deg, .. } => Self { grain: Angle::deg(*deg), ..as_drawn },
            Change::Outline { shape, .. } => {
                Self::of(as_drawn.name, shape, board.grain).with_board(wood, board.thickness)
            }
            Change::Thickness { to_mm } => Self { thickness: Some(Length::mm(*to_mm)), ..as_drawn },
            Change::Rings(rings) => {
                Self { wood: Some(format!("{} {wood}", words::sawn(*rings))), ..as_drawn }
            }
            Change::Woods(tried) => match tried.first() {
                Some(other) => Self { wood: Some(other.name.to_owned()), ..as_drawn },
                None => return Err(NotCut::NotWood),
            },
            Change::Inserts(strips) => as_drawn.with_strips(strips, board.thickness, wood, options)?,
            Change::Backers(strips) => as_drawn.with_boards(strips, wood, options),
            Change::Layers { plies } => as_drawn.of_plies(plies, wood, options),
            Change::None => return Err(NotCut::NotWood),
        })
    }

    fn of_plies(mut self, plies: &[mend::Ply], wood: &str, options: &Options) -> Self {
        let names: &[&str] = match plies.len() {
            2 => &["board", "backer"],
            3 => &["face ply", "middle ply", "back ply"],
            _ => &[],
        };
        let of = |(k, ply): (usize, &mend::Ply)| Ply {
            name: names.get(k).map_or_else(|| format!("ply {}", k + 1), |name| (*name).to_owned()),
            grain: Angle::deg(ply.grain_deg),
            thickness: Length::mm(ply.thickness_mm),
            wood: Some(wood.to_owned()),
            bit: options.insert_bit,
        };
        self.plies = plies.iter().enumerate().map(of).collect();
        self.thickness = Some(Length::mm(plies.iter().map(|ply| ply.thickness_mm).sum()));
        self
    }

    fn with_boards(mut self, strips: &[Strip], wood: &str, options: &Options) -> Self {
        let of = |Strip { insert, .. }: &Strip| {
            let outline = Shape::new(insert.outline.clone()).ok()?;
            Some(Backer {
                outline: Outline::of(&outline, &Recovery::default()),
                grain: Angle::deg(insert.grain_deg),
                thickness: Length::mm(insert.depth_mm),
                wood: Some(wood.to_owned()),
                bit: options.insert_bit,
            })
        };
        self.backers.extend(strips.iter().filter_map(of));
        self
    }

    fn with_strips(
        mut self,
        strips: &[Strip],
        thickness: Length,
        wood: &str,
        options: &Options,
    ) -> Result<Self, NotCut> {
        let mut faults = Vec::new();
        for strip in strips {
            match strip.fitted(thickness, options) {
                Ok(fit) => self.pockets.push(Pocket { fit, wood: Some(wood.to_owned()) }),
                Err(error) => faults.push(NoFit { places: strip.places.clone(), error }),
            }
        }
        if faults.is_empty() { Ok(self) } else { Err(NotCut::NoFit(faults)) }
    }
}

#[cfg(test)]
mod tests {
    use super::super::{File, Set, Stock};
    use super::*;
    use crate::check::Pushes;
    use crate::design::{self, Options as Reading, Pick};
    use crate::drawing::sample::plate;
    use crate::mend::sample::Case;
    use crate::mend::{MendOptions, Mending, mend, unwatched};
    use crate::shape::plane::point;
    use crate::units::Force;
    use crate::wood::Rings;

    fn board() -> Board {
        Board { thickness: Length::mm(19.0), grain: Angle::deg(0.0), rings: Rings::Flat, moisture_pct: 12.0 }
    }

    /// A plate with two windows and a web across the grain between them, pushed at so hard, by the closed form.
    fn cared_for(kind: Kind, push: f64) -> Mending {
        let pushes = Pushes { face: Force::n(push), side: Force::n(push) };
        let case = Case { board: board(), pushes, ..Case::of(plate(1).polygon().clone()) };
        let options = MendOptions { kinds: vec![kind], ..MendOptions::default() };
        mend(case.patient(), &options, &unwatched).expect("a skeleton")
    }

    fn piece(remedy: &Remedy, bit: f64) -> Result<Piece, NotCut> {
        let bit = Length::mm(bit);
        let options = Options { pocket_bit: bit, insert_bit: bit, ..Options::default() };
        Piece::mended("plate", &plate(1), &board(), "black cherry", remedy, &options)
    }

    fn files(piece: Piece) -> Vec<File> {
        Set { stock: Stock { spares: Some(0), ..Stock::default() }, ..Set::new("plate").with_piece(piece) }
            .files()
    }

    /// The area that files of a kind read back with on some layers, at the door everybody uses.
    fn area(files: &[File], start: &str, ending: &str, layers: &[&str]) -> f64 {
        let named = |file: &&File| file.name.starts_with(start) && file.name.ends_with(ending);
        let layers: Vec<String> = layers.iter().map(|layer| (*layer).to_owned()).collect();
        let of = |file: &File| {
            let pick = Pick { layers: layers.clone(), ..Pick::default() };
            let reading = Reading { tolerance: Length::mm(0.0005), pick, ..Reading::default() };
            let design =
                design::read(&file.name, file.text.as_bytes(), &reading).expect("our own file can be read");
            design.pieces.iter().map(|piece| piece.shape.area()).sum::<f64>()
        };
        files.iter().filter(named).map(of).sum()
    }

    fn close(found: f64, want: f64) {
        assert!((found / want - 1.0).abs() < 1e-4, "{found} for {want}");
    }

    /// A rectangle whose corners are rounded to a radius r loses (4 − π)·r²; grown by c all round it gains the rest.
    #[test]
    fn inserts_and_pockets_read_back_as_the_strips_of_the_remedy() {
        let mending = cared_for(Kind::Insert, 90.0);
        let remedy = mending.remedies.first().unwrap_or_else(|| panic!("{:?}", mending.declined));
        let files = files(piece(remedy, 6.0).expect("a bit of 6 mm gets in"));
        let lost = 4.0 - std::f64::consts::PI;
        let (mut inserts, mut pockets) = (0.0, 0.0);
        for Strip { insert, .. } in remedy.strips() {
            let (long, wide) = (insert.length_mm, insert.width_mm);
            inserts += long * wide - lost * 3.0_f64.powi(2);
            pockets += (long + 0.1) * (wide + 0.1) - lost * 3.05_f64.powi(2);
        }
        assert!(inserts > 0.0);
        for ending in ["svg", "dxf"] {
            close(area(&files, "plate-insert", ending, &["INSERT"]), inserts);
            close(area(&files, "plate-back", ending, &["POCKET_BACK"]), pockets);
            close(area(&files, "plate-face", ending, &["OUTLINE", "OPENING"]), plate(1).area());
        }
        let list = &files.iter().find(|file| file.name == "plate-cut-list.csv").expect("a cut list").text;
        assert!(list.lines().any(|line| line.starts_with("insert,plate,1,black cherry,")), "{list}");
    }

    /// A board is sawn as it is sized: no bit's corner is lost. On the page of the back it is only shown.
    #[test]
    fn part_backers_read_back_as_the_boards_of_the_remedy() {
        let mending = cared_for(Kind::PartBacker, 90.0);
        let remedy = mending.remedies.first().unwrap_or_else(|| panic!("{:?}", mending.declined));
        let files = files(piece(remedy, 6.0).expect("a board needs no pocket"));
        let want: f64 =
            remedy.backers().iter().map(|board| board.insert.length_mm * board.insert.width_mm).sum();
        assert!(want > 0.0);
        for ending in ["svg", "dxf"] {
            close(area(&files, "plate-backer", ending, &["BACKER"]), want);
            close(area(&files, "plate-face", ending, &["OUTLINE", "OPENING"]), plate(1).area());
        }
        let named = |name: &str| &files.iter().find(|file| file.name == name).expect("it is written").text;
        assert!(named("plate-back.svg").contains("glued onto the back here"));
        let list = named("plate-cut-list.csv");
        assert!(list.lines().any(|line| line.starts_with("backer,plate,1,black cherry,")), "{list}");
        assert!(list.lines().any(|line| line.starts_with("strip,backers,1,black cherry,")), "{list}");
    }

    #[test]
    fn a_wider_web_reads_back_with_the_area_of_the_mended_outline() {
        let mending = cared_for(Kind::Widen, 50.0);
        let remedy = mending.remedies.first().unwrap_or_else(|| panic!("{:?}", mending.declined));
        let want = remedy.shape().expect("a new outline").area();
        assert!(want > plate(1).area() + 50.0);
        let files = files(piece(remedy, 6.0).expect("an outline is cut with any bit"));
        for ending in ["svg", "dxf"] {
            close(area(&files, "plate-face", ending, &["OUTLINE", "OPENING"]), want);
        }
        assert!(files.iter().all(|file| !file.name.contains("insert") && !file.name.contains("back")));
    }

    /// A quarter-sawn board is another blank for the same outline: whoever cuts it reads so on every page, the pattern and the list.
    #[test]
    fn a_quarter_sawn_blank_is_named_wherever_its_wood_is() {
        let mending = cared_for(Kind::Backer, 90.0);
        let other = mending.remedies.first().unwrap_or_else(|| panic!("{:?}", mending.declined));
        let change = Change::Rings(Rings::Quarter);
        let remedy = Remedy { kind: Kind::QuarterSawn, change, ..other.clone() };
        let files = files(piece(&remedy, 6.0).expect("an outline is cut with any bit"));
        let has = |name: &str, words: &str| {
            let named = files.iter().find(|file| file.name == name).expect("it is written");
            assert!(named.text.contains(words), "{name}: {words}");
        };
        has("plate-face.svg", "FACE of plate, quarter-sawn black cherry, 19 mm thick.");
        has("plate-face.dxf", "FACE of plate, quarter-sawn black cherry, 19 mm thick.");
        has("plate-pattern.svg", "Board: quarter-sawn black cherry, 19 mm thick.");
        has("plate-pattern.svg", ">quarter-sawn black cherry<");
        has("plate-cut-list.csv", "piece,plate,1,quarter-sawn black cherry,19.00,");
        for ending in ["svg", "dxf"] {
            close(area(&files, "plate-face", ending, &["OUTLINE", "OPENING"]), plate(1).area());
        }
    }

    #[test]
    fn a_bit_too_wide_for_a_strip_is_refused_for_each_of_them() {
        let mending = cared_for(Kind::Insert, 90.0);
        let remedy = &mending.remedies[0];
        let Err(NotCut::NoFit(faults)) = piece(remedy, 40.0) else { panic!("40 mm do not get in") };
        assert_eq!(faults.len(), remedy.strips().len());
        assert!(faults[0].to_string().starts_with("the insert for place 1: "), "{}", faults[0]);
    }

    /// By hand: the plate is 80 by 100, a bit of 6 mm and 3 mm of wood are 9 all round; the pins, 12 mm above and below it and 6 wide, want 18 there.
    /// So a board is 98 by 136, along the grain or across it, whichever way its own runs.
    #[test]
    fn a_glued_up_blank_reads_back_as_its_boards_and_one_outline_through_all() {
        for (kind, boards) in [
            (Kind::Backer, &[("board", false), ("backer", true)][..]),
            (Kind::ThreePly, &[("face ply", false), ("middle ply", true), ("back ply", false)]),
        ] {
            let mending = cared_for(kind, 90.0);
            let remedy = mending.remedies.first().unwrap_or_else(|| panic!("{:?}", mending.declined));
            let Change::Layers { plies } = &remedy.change else { panic!("{:?}", remedy.change) };
            let piece = piece(remedy, 6.0).expect("a blank is sawn with any bit");
            let steps = words::steps(
                crate::units::Units::Metric,
                &remedy.order,
                &mending.before,
                remedy.after.as_ref().expect("it was judged"),
            );
            let files = files(piece.with_steps(steps));
            for ending in ["svg", "dxf"] {
                close(area(&files, "plate-plies", ending, &["PLY"]), boards.len() as f64 * 98.0 * 136.0);
                close(area(&files, "plate-face", ending, &["OUTLINE", "OPENING"]), plate(1).area());
            }
            let named =
                |name: &str| &files.iter().find(|file| file.name == name).expect("it is written").text;
            let list = named("plate-cut-list.csv");
            let whole: f64 = plies.iter().map(|ply| ply.thickness_mm).sum();
            let mut lines = vec![format!("piece,plate,1,black cherry,{whole:.2},100.00,80.00,")];
            for ((name, is_across), ply) in boards.iter().zip(plies) {
                let [width, length] = if *is_across { [98.0, 136.0] } else { [136.0, 98.0] };
                let thick = ply.thickness_mm;
                lines.push(format!("{name},plate,1,black cherry,{thick:.2},{width:.2},{length:.2},"));
            }
            for line in &lines {
                assert!(list.contains(line), "{line} in {list}");
            }
            let page = named("plate-plies.svg");
            for (k, (name, is_across)) in boards.iter().enumerate() {
                let grain =
                    if *is_across { "90 degrees anticlockwise from left to right" } else { "left to right" };
                let said = page.split(&format!("{} {name}: ", k + 1)).nth(1).expect("it is told");
                let said = said.split("on this page").next().unwrap_or_default();
                assert!(said.ends_with(&format!("Its grain: {grain} ")), "{said}");
            }
            // What is glued comes first, and openings and outline after it.
            let order = page.split("Order of cuts: ").nth(1).expect("the order is told");
            assert!(order.starts_with("1. glue "), "{order}");
            assert!(order.contains("cut the outline last"), "{order}");
            assert!(named("plate-face.svg").contains(&format!("glued up of {} layers", boards.len())));
        }
    }

    /// A blank whose grain lies askew is sawn along it: by hand, the square of 40 at 45 degrees is 40 times the root of 2 long and wide.
    #[test]
    fn a_board_of_a_blank_lies_along_its_grain_and_holds_outline_and_pins() {
        let square = Shape::new(geo::Rect::new((0.0, 0.0), (40.0, 40.0)).to_polygon()).expect("a shape");
        let mut piece = Piece::of("square", &square, Angle::deg(45.0));
        let (name, wood) = ("face ply".to_owned(), None);
        let (grain, size) = (Angle::deg(45.0), Length::mm(6.0));
        piece.plies = vec![Ply { name, grain, thickness: size, wood, bit: size }];
        let sawn = &super::super::blank::sawn(&piece, 3.0)[0];
        let want = 40.0 * 2.0_f64.sqrt() + 2.0 * 9.0;
        assert!(sawn.size.iter().all(|mm| (mm - want).abs() < 1e-9), "{:?} for {want}", sawn.size);
        assert!((sawn.outline.area() - want * want).abs() < 1e-6);
        // The pins' holes, 3 mm of wood round them, lie inside: their middles are 32 mm from the square's.
        let board = geo::Polygon::new(sawn.outline.points(1e-3), Vec::new());
        for x in [20.0 - 32.0, 20.0 + 32.0] {
            let hole = geo::Polygon::new(
                crate::fit::Contour::circle(point(x, 20.0), 6.0 - 1e-6).points(1e-3),
                Vec::new(),
            );
            assert!(geo::Contains::contains(&board, &hole), "{x}");
        }
    }

    /// The second board of a blank is no board that is glued on a back after.
    #[test]
    fn a_backed_blank_is_one_of_two_boards() {
        let mending = cared_for(Kind::Backer, 90.0);
        let piece = piece(&mending.remedies[0], 6.0).expect("it is cut");
        let tally = Set { pieces: vec![piece], ..Set::new("set") }.tally();
        assert_eq!((tally.blanks, tally.boards, tally.backers, tally.strips), (1, 2, 0, 0));
    }

    #[test]
    fn what_is_no_solid_wood_is_not_cut() {
        let mending = cared_for(Kind::NotSolidWood, 90.0);
        assert_eq!(piece(&mending.remedies[0], 6.0), Err(NotCut::NotWood));
    }
}
