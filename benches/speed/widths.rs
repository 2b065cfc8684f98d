//! The width at every point of our skeleton, asked of two libraries that share no code with ours.
//!
//! `boostvoronoi` builds the Voronoi diagram of the walls (Fortune's sweep over segments, points rounded to
//! 2⁻¹⁶ mm): the edges nearest to our point name the walls that are nearest there. `rstar` keeps the walls in an R-tree
//! and finds the nearest one. Twice the distance is the width.

use std::time::{Duration, Instant};

use boostvoronoi::prelude::*;
use geo_types::{Coord, Line as Segment, coord};
use rstar::{PointDistance, RTree, primitives::GeomWithData};
use shortgrain::{
    shape::{Shape, plane},
    skeleton::{Chord, Pruning, Skeleton},
};

/// Units a millimetre on the diagram's grid.
const GRID: f64 = 65_536.0;
/// Pieces a curved edge of the diagram is replaced by while looking for the nearest edge.
const CURVE_PIECES: usize = 16;
/// Edges looked at near our point.
const NEAR: usize = 8;

/// The table's head.
pub(crate) fn heading() {
    println!(
        "{:16} {:>8} {:>8} {:>10} {:>14} {:>12} {:>8} {:>14}",
        "", "points", "widths", "ours", "boostvoronoi", "differs by", "rstar", "differs by"
    );
}

/// One row.
pub(crate) fn compare(name: &str, shape: &Shape) {
    let started = Instant::now();
    let skeleton = Skeleton::new(shape, &Pruning::default()).expect("a skeleton");
    let ours = started.elapsed();
    let links = skeleton.branches().iter().flat_map(|branch| &branch.links);
    let chords: Vec<Chord> = links.filter(|link| link.kept).filter_map(|link| link.chord).collect();

    let walls = walls(shape);
    let (diagram, diagram_differs) = by_diagram(&walls, &chords);
    let (tree, tree_differs) = by_tree(&walls, &chords);
    let ms = |time: Duration| time.as_secs_f64() * 1e3;
    println!(
        "{name:16} {:>8} {:>8} {:>10.2} {:>14.2} {:>12.1e} {:>8.2} {:>14.1e}",
        walls.len(),
        chords.len(),
        ms(ours),
        ms(diagram),
        diagram_differs,
        ms(tree),
        tree_differs,
    );
}

fn walls(shape: &Shape) -> Vec<Segment<f64>> {
    shape.rings().flat_map(|ring| ring.lines()).collect()
}

/// Time to build the R-tree and ask it, and the largest difference of a width.
fn by_tree(walls: &[Segment<f64>], chords: &[Chord]) -> (Duration, f64) {
    let started = Instant::now();
    let tree = RTree::bulk_load(walls.to_vec());
    let widths: Vec<f64> = chords
        .iter()
        .map(|chord| {
            let p = geo_types::Point(chord.centre);
            // The iterator's first is the nearest; `nearest_neighbor` misses it now and then on lines.
            let nearest = tree.nearest_neighbor_iter(&p).next().expect("there are walls");
            2.0 * nearest.distance_2(&p).sqrt()
        })
        .collect();
    let time = started.elapsed();
    (time, largest_difference(&widths, chords))
}

/// An edge of the diagram, as a straight piece with the two walls it keeps apart.
type Piece = GeomWithData<Segment<f64>, [Site; 2]>;

/// What a cell of the diagram lies round: a wall or one end of it.
#[derive(Clone, Copy)]
struct Site(Segment<f64>);

impl Site {
    fn distance(&self, p: Coord<f64>) -> f64 {
        plane::distance(p, plane::nearest_on_segment(p, self.0.start, self.0.end).0)
    }
}

/// Time to build the diagram (not to read it), and the largest difference of a width.
fn by_diagram(walls: &[Segment<f64>], chords: &[Chord]) -> (Duration, f64) {
    let started = Instant::now();
    let on_grid = |p: Coord<f64>| Point::new((p.x * GRID).round() as i64, (p.y * GRID).round() as i64);
    let lines: Vec<Line<i64>> =
        walls.iter().map(|wall| Line::new(on_grid(wall.start), on_grid(wall.end))).collect();
    let diagram = Builder::<i64>::default()
        .with_segments(lines.iter())
        .and_then(|builder| builder.build())
        .expect("the walls do not cross");
    let time = started.elapsed();

    let tree = RTree::bulk_load(pieces(&diagram, walls).expect("a whole diagram"));
    let widths: Vec<f64> = chords
        .iter()
        .map(|chord| {
            let p = geo_types::Point(chord.centre);
            let near = tree.nearest_neighbor_iter(&p).take(NEAR);
            // The nearest wall is a site of one of the nearest edges.
            let sites = near.flat_map(|edge| edge.data.map(|site| 2.0 * site.distance(chord.centre)));
            sites.fold(f64::INFINITY, f64::min)
        })
        .collect();
    (time, largest_difference(&widths, chords))
}

fn pieces(diagram: &Diagram, walls: &[Segment<f64>]) -> Result<Vec<Piece>, BvError> {
    let mut pieces = Vec::new();
    for edge in diagram.edges() {
        let twin = edge.twin()?;
        if !edge.is_primary() || edge.id() > twin {
            continue;
        }
        let (Some(from), Some(to)) = (edge.vertex0(), diagram.edge_get_vertex1(edge.id())?) else { continue };
        let at = |vertex| -> Result<Coord<f64>, BvError> {
            let vertex = diagram.vertex(vertex)?;
            Ok(coord! { x: vertex.x() / GRID, y: vertex.y() / GRID })
        };
        let site = |cell| -> Result<Site, BvError> {
            let (wall, category) = diagram.cell(cell)?.source_index_2();
            let wall = walls[wall.usize()];
            Ok(Site(match category {
                SourceCategory::SegmentStart => Segment::new(wall.start, wall.start),
                SourceCategory::SegmentEnd => Segment::new(wall.end, wall.end),
                _ => wall,
            }))
        };
        let (from, to) = (at(from)?, at(to)?);
        let sites = [site(edge.cell()?)?, site(diagram.edge_get_cell(twin)?)?];
        let curve = if edge.is_curved() { CURVE_PIECES } else { 1 };
        let on_curve = |k: usize| balanced(from + (to - from) * (k as f64 / curve as f64), &sites);
        let mut start = from;
        for k in 1..=curve {
            let end = if k == curve { to } else { on_curve(k) };
            pieces.push(Piece::new(Segment::new(start, end), sites));
            start = end;
        }
    }
    Ok(pieces)
}

/// The point near `p` equally far from two sites, by bisection between their nearest points.
fn balanced(p: Coord<f64>, sites: &[Site; 2]) -> Coord<f64> {
    let [a, b] = sites.map(|site| plane::nearest_on_segment(p, site.0.start, site.0.end).0);
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        let q = a + (b - a) * middle;
        if sites[0].distance(q) < sites[1].distance(q) { low = middle } else { high = middle }
    }
    a + (b - a) * low
}

fn largest_difference(widths: &[f64], chords: &[Chord]) -> f64 {
    let differences = widths.iter().zip(chords).map(|(width, chord)| (width - 2.0 * chord.radius).abs());
    differences.fold(0.0, f64::max)
}
