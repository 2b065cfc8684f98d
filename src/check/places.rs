//! From worst pushes to places: what is listed, and every number of it.

use geo_types::Coord;

use crate::{
    section::{Station, Stretch},
    shape::plane::{cross, direction, distance, dot, extents, left, meet, nearest_on_segment},
    strength::{
        Index, Mode, Section, Working, WorkingLine, dents_at, explain_face, explain_side, low, risk,
        variation,
    },
    units::Angle,
    wood::{Board, Mechanics},
};

use super::{
    Case, ClosedForm, EASY, Forces, Form, GrainCut, Place, PlaceRemark, Push, PushKind, Pushes, SHORT,
    Verdict,
    judge::{Judged, On, Role, Worst},
    verdict,
};

/// A grain line is missed when it is weaker than this part of the weakest place listed.
const MISSED: f64 = 0.98;
/// Places up to this many times as strong as the weakest that a grain line runs through are as weak as that one.
const EQUAL: f64 = 1.01;
/// The grain line across the root of an askew run is met by the run carried on this much farther than an even one's is, down to the
/// angle of this tangent (25°); nearer the grain nothing is short-grained.
const SLANTED: f64 = 1.1;
const LEAST_SLANT: f64 = 0.466;
/// Two tongues that together are more than this part of the piece are its two halves.
const HALVES: f64 = 0.9;

/// What every place is judged by.
pub(super) struct Judge<'a> {
    pub(super) board: &'a Board,
    pub(super) wood: &'a Mechanics,
    pub(super) pushes: &'a Pushes,
    /// Area of the piece, in mm².
    pub(super) area: f64,
}

impl Judge<'_> {
    pub(super) fn place(&self, stretch: &Stretch, judged: &Judged) -> Option<Place> {
        let [Some(face), Some(side)] = judged.worst else { return None };
        let span = stretch.span();
        let easy =
            self.over(PushKind::Face, &face.index) < EASY || self.over(PushKind::Side, &side.index) < EASY;
        if span < SHORT * stretch.neck && !easy {
            return None;
        }
        let form = match (stretch.crosses, judged.role) {
            (false, _) => Form::Along,
            (true, Role::Bridge) if [face, side].iter().any(|w| w.on == On::Island) => Form::Island,
            (true, Role::Bridge) => Form::Bridge,
            (true, Role::Arm { .. } | Role::Whole) => Form::Arm,
        };
        let push = |worst: &Worst| {
            self.push(&Broken {
                index: worst.index,
                forces: worst.forces,
                section: &judged.chain.stations[worst.joint].section,
                station: &judged.stations[worst.joint],
                built_in: (judged.role == Role::Bridge).then_some(span),
                line: break_line(&judged.stations[worst.joint], worst.index.mode, span, self.board.grain),
                at: worst.at,
                push: worst.push,
                pad_area: worst.area,
                case: worst.case,
            })
        };
        let governing = if self.over(PushKind::Face, &face.index) <= self.over(PushKind::Side, &side.index) {
            &face
        } else {
            &side
        };
        Some(self.finish(Place {
            id: 0,
            form,
            width_mm: stretch.width(),
            neck_mm: stretch.neck,
            span_mm: span,
            crossing_deg: judged.stations[governing.joint].crossing.to_degrees(),
            at: stretch.neck_at,
            run: judged.stations.iter().map(|s| s.at).collect(),
            held: match judged.role {
                Role::Arm { outward, .. } => [outward, !outward],
                Role::Bridge => [true, true],
                Role::Whole => [true, false],
            },
            remarks: remarks(stretch, judged, form),
            face: push(&face),
            side: push(&side),
            verdict: Verdict::Sound,
            insert: None,
        }))
    }

    fn finish(&self, place: Place) -> Place {
        Place { verdict: place.worst_verdict(), ..place }
    }

    /// How many times the stated push it takes to break what has this index at 1 N.
    fn over(&self, kind: PushKind, index: &Index) -> f64 {
        index.breaks_at() / self.pushes.of(kind).as_n()
    }

    fn push(&self, broken: &Broken) -> Push {
        let (kind, worked) = match &broken.forces {
            Forces::Face(forces) => (PushKind::Face, explain_face(broken.section, forces, self.wood)),
            Forces::Side(forces) => (PushKind::Side, explain_side(broken.section, forces, self.wood)),
        };
        let lines = broken.levers().into_iter().chain(worked).collect();
        let breaks_at = broken.index.breaks_at();
        let direction_deg = broken.push.map(|p| p.y.atan2(p.x).to_degrees());
        let spread = variation(&broken.index.shares, self.wood);
        Push {
            kind,
            breaks_at_n: breaks_at,
            low_n: low(breaks_at, spread),
            risk: risk(self.pushes.of(kind).as_n(), breaks_at, spread),
            push_at: broken.at,
            direction_deg,
            mode: broken.index.mode,
            solved: None,
            closed_form_n: breaks_at,
            closed_form: ClosedForm {
                push_at: broken.at,
                direction_deg,
                mode: broken.index.mode,
                case: broken.case,
                break_line: broken.line,
            },
            break_line: vec![broken.line],
            dents_at_n: if kind == PushKind::Face { dents_at(broken.pad_area, self.wood) } else { None },
            case: broken.case,
            section: *broken.section,
            forces: broken.forces,
            working: Working { lines },
        }
    }

    /// A grain line through a place may be weaker than any section square to its run: near a slanting end it
    /// is shorter. Where none of the places it runs through says so already, the weakest of them takes it over, or all that are
    /// equally weak, as those of a mirrored piece are.
    pub(super) fn cut_short(&self, places: &mut [Place], runs: &[Run], cuts: &[GrainCut]) {
        let through = |cut: &GrainCut| -> Vec<usize> {
            (0..runs.len().min(places.len())).filter(|&k| runs[k].is_crossed_by(&cut.line)).collect()
        };
        let with_places: Vec<(&GrainCut, Vec<usize>)> = cuts.iter().map(|cut| (cut, through(cut))).collect();
        // First each place's own lines, so that it does not hang on their order who is the weakest.
        let (own, shared): (Vec<_>, Vec<_>) =
            with_places.into_iter().partition(|(_, through)| through.len() < 2);
        for (cut, through) in own.into_iter().chain(shared) {
            let now = |k: &usize| places[*k].push(cut.kind).breaks_at_n;
            let weakest = through.iter().map(now).fold(f64::INFINITY, f64::min);
            let equal: Vec<usize> = through.into_iter().filter(|k| now(k) <= EQUAL * weakest).collect();
            for k in equal {
                let place = &mut places[k];
                if cut.breaks_at_n < MISSED * place.push(cut.kind).breaks_at_n {
                    *place.push_mut(cut.kind) = self.cut_through(cut, place.push(cut.kind));
                    *place = self.finish(place.clone());
                }
            }
        }
    }

    /// A grain line's break in place of a push on the section square to the run. That section stays, for a
    /// remedy to start from, with forces that break it at the same push.
    fn cut_through(&self, cut: &GrainCut, before: &Push) -> Push {
        let times = before.breaks_at_n / cut.breaks_at_n;
        let forces = before.forces.times(times);
        Push { section: before.section, forces, ..self.cut(cut) }
    }

    /// A grain line's break, as a push.
    fn cut(&self, cut: &GrainCut) -> Push {
        let section = Section {
            width: cut.station.width,
            thickness: self.board.thickness.as_mm(),
            crossing: cut.station.crossing,
            turn: cut.station.turn,
        };
        self.push(&Broken {
            index: cut.index,
            forces: cut.forces,
            section: &section,
            station: &cut.station,
            built_in: None,
            line: cut.line,
            at: cut.push_at,
            push: cut.push,
            pad_area: cut.pad_area,
            case: Case::Place,
        })
    }

    /// Places that the skeleton does not show, found by their grain lines alone: tongues and corners weaker
    /// than what is listed, or not sound.
    pub(super) fn missed(&self, places: &[Place], runs: &[Run], cuts: &[GrainCut]) -> Vec<Place> {
        let weakest = places.iter().map(|place| place.over(self.pushes)).fold(f64::INFINITY, f64::min);
        // Where nothing is listed there is nothing to be weaker than; then only what is not sound counts.
        let weakest = if weakest.is_finite() { weakest.min(EASY) } else { 0.0 };
        let matters = |cut: &GrainCut| {
            let spread = variation(&cut.index.shares, self.wood);
            self.over(cut.kind, &cut.index) < MISSED * weakest
                || verdict(risk(self.pushes.of(cut.kind).as_n(), cut.breaks_at_n, spread)) != Verdict::Sound
        };
        let known = |cut: &GrainCut| runs.iter().any(|run| run.is_crossed_by(&cut.line));
        let unknown: Vec<&GrainCut> = cuts.iter().filter(|cut| !known(cut)).collect();
        let mut left: Vec<&GrainCut> = unknown.iter().copied().filter(|cut| matters(cut)).collect();
        left.sort_by(|a, b| self.over(a.kind, &a.index).total_cmp(&self.over(b.kind, &b.index)));
        let mut found = Vec::new();
        while let Some(&worst) = left.first() {
            if let Some(place) = self.tongue(worst, &unknown) {
                found.push(place);
            }
            // Neither the same tongue again nor, of a piece parted in the middle, its other half.
            let halves = |cut: &GrainCut| cut.area + worst.area > HALVES * self.area;
            left.retain(|cut| !cut.parts_too(worst) && !worst.parts_too(cut) && !halves(cut));
        }
        found
    }

    /// A place made of one grain line and the tongue it parts; the lines through listed places are theirs alone.
    fn tongue(&self, worst: &GrainCut, unknown: &[&GrainCut]) -> Option<Place> {
        let weakest = |kind: PushKind| {
            let same = unknown.iter().copied().filter(|cut| cut.kind == kind && cut.parts_too(worst));
            same.min_by(|a, b| a.breaks_at_n.total_cmp(&b.breaks_at_n))
        };
        let (face, side) = (weakest(PushKind::Face)?, weakest(PushKind::Side)?);
        let station = &worst.station;
        Some(self.finish(Place {
            id: 0,
            form: Form::Arm,
            width_mm: station.grain_width(),
            neck_mm: station.width,
            span_mm: distance(station.at, worst.farthest),
            crossing_deg: station.crossing.to_degrees(),
            at: station.at,
            run: vec![station.at, worst.farthest],
            held: [true, false],
            remarks: vec![PlaceRemark::Corner],
            face: self.cut(face),
            side: self.cut(side),
            verdict: Verdict::Sound,
            insert: None,
        }))
    }
}

/// A section at its break, under a push of 1 N.
struct Broken<'a> {
    index: Index,
    forces: Forces,
    section: &'a Section,
    station: &'a Station,
    /// The span, where both ends of the place are built in.
    built_in: Option<f64>,
    line: [Coord<f64>; 2],
    at: Coord<f64>,
    push: Option<Coord<f64>>,
    pad_area: f64,
    case: Case,
}

impl Broken<'_> {
    /// Where the push lies, seen from the section that breaks.
    fn levers(&self) -> Vec<WorkingLine> {
        let away = self.at - self.station.at;
        let line = |name: &str, value: f64, formula: &str, source: &str| WorkingLine {
            name: name.to_owned(),
            value,
            unit: "mm",
            formula: formula.to_owned(),
            source: source.to_owned(),
        };
        let measured = "measured on the drawing";
        let mut lines = vec![
            line(
                "lever, from the break to the push along the run",
                dot(away, self.station.run).abs(),
                "",
                measured,
            ),
            line(
                "offset of the push to the side of the run",
                dot(away, left(self.station.run)),
                "",
                measured,
            ),
        ];
        if let (Some(span), Case::Place) = (self.built_in, self.case) {
            let formula =
                "both ends built in; even sections: M = F·a·b²/s² at an end, a from it, b to the other";
            lines.push(line("span between the held ends", span, formula, "beam theory"));
        }
        if self.case == Case::Carried {
            lines.push(line(
                "distance of the push on the wood that is carried",
                distance(self.at, self.station.at),
                "shared among the places that carry it by their stiffness",
                "statics of beams between rigid parts",
            ));
        }
        lines
    }
}

/// The run of a place from end to end: of a piece that is one single stretch the half that is held too.
pub(super) struct Run {
    /// With a point more at either end, as far beyond it as a grain line still parts the place.
    points: Vec<Coord<f64>>,
    /// From where to where they lie, in x and in y: most lines pass most places by.
    bounds: [[f64; 2]; 2],
}

impl Run {
    pub(super) fn of(stretch: &Stretch) -> Self {
        let ends = [&stretch.stations[0], &stretch.stations[stretch.stations.len() - 1]];
        // A run ends at a section square to it; where it is askew, at φ to the grain, its root's grain line crosses it half a neck times cot φ on.
        let [before, after] = ends.map(|station| {
            let askew = SLANTED / station.crossing.tan().max(LEAST_SLANT);
            station.run * (0.5 * stretch.neck * askew.max(1.0))
        });
        let inside = stretch.stations.iter().map(|station| station.at);
        let points: Vec<Coord<f64>> =
            std::iter::once(ends[0].at - before).chain(inside).chain([ends[1].at + after]).collect();
        Self { bounds: extents(&points), points }
    }

    /// How far a point lies from the run.
    pub(super) fn away(&self, p: Coord<f64>) -> f64 {
        let beside = |pair: &[Coord<f64>]| distance(nearest_on_segment(p, pair[0], pair[1]).0, p);
        self.points.windows(2).map(beside).fold(f64::INFINITY, f64::min)
    }

    /// The straight pieces it is made of.
    pub(super) fn pieces(&self) -> impl Iterator<Item = [Coord<f64>; 2]> + '_ {
        self.points.windows(2).map(|pair| [pair[0], pair[1]])
    }

    /// Whether a straight line crosses the run, or what would be it a little farther on.
    pub(super) fn is_crossed_by(&self, line: &[Coord<f64>; 2]) -> bool {
        if !meet(extents(line), self.bounds) {
            return false;
        }
        let side = |p: Coord<f64>, a: Coord<f64>, b: Coord<f64>| cross(b - a, p - a) > 0.0;
        let crossed = |a: Coord<f64>, b: Coord<f64>| {
            side(line[0], a, b) != side(line[1], a, b)
                && side(a, line[0], line[1]) != side(b, line[0], line[1])
        };
        self.points.windows(2).any(|pair| crossed(pair[0], pair[1]))
    }
}

fn remarks(stretch: &Stretch, judged: &Judged, form: Form) -> Vec<PlaceRemark> {
    let shared = |kind: PushKind| judged.worst[kind as usize].is_some_and(|worst| worst.on != On::Own);
    let on = |only: Option<PushKind>| PlaceRemark::Carried { only, island: form == Form::Island };
    let carried = match (shared(PushKind::Face), shared(PushKind::Side)) {
        (true, true) => Some(on(None)),
        (true, false) => Some(on(Some(PushKind::Face))),
        (false, true) => Some(on(Some(PushKind::Side))),
        (false, false) => None,
    };
    let whole = (judged.role == Role::Whole).then_some(PlaceRemark::Whole);
    let is_stubby = judged.role == Role::Bridge && stretch.crosses && stretch.span() < stretch.neck;
    let stubby = is_stubby.then_some(PlaceRemark::Stubby);
    carried.into_iter().chain(whole).chain(stubby).collect()
}

/// The line that parts: along the grain, or square across the fibres where they break.
fn break_line(station: &Station, mode: Mode, span: f64, grain: Angle) -> [Coord<f64>; 2] {
    if mode == Mode::Fibre || station.crossing < 0.05 {
        return station.square.map(|wall| wall.at);
    }
    let line = station.grain_line.map(|wall| wall.at);
    // Where the line runs on into the wood that is held, only the place's own part of it counts.
    let (sin, cos) = station.crossing.sin_cos();
    let own = (station.width / sin).min(span / cos.max(1e-9));
    if distance(line[0], line[1]) <= 1.05 * own.max(station.width) {
        return line;
    }
    let along = direction(grain.as_rad());
    let half = own.max(station.width / sin) / 2.0;
    [(-1.0, line[0]), (1.0, line[1])].map(|(sign, wall)| {
        let reach = half.min(distance(wall, station.at));
        station.at + along * (sign * reach)
    })
}
