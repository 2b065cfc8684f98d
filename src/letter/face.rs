//! A font, and a text set in it.

use harfrust::{ShaperData, UnicodeBuffer};
use kurbo::{Affine, BezPath, Shape as _};
use skrifa::instance::{LocationRef, Size};
use skrifa::outline::{DrawSettings, OutlinePen};
use skrifa::string::StringId;
use skrifa::{FontRef, GlyphId, MetadataProvider};

use super::LetterError;
use crate::design::Font;

/// A font that can be read.
pub(super) struct Face<'a> {
    font: FontRef<'a>,
    fallback: &'a str,
}

/// One glyph of a text, in its place.
pub(super) struct Glyph {
    /// The letters it stands for: one, or several that are joined.
    pub(super) letters: String,
    /// In mm, y up from the base line.
    pub(super) path: BezPath,
}

impl<'a> Face<'a> {
    pub(super) fn new(font: &'a Font) -> Result<Self, LetterError> {
        let bad = || LetterError::BadFont { font: font.name.clone() };
        Ok(Self { font: font.open().ok_or_else(bad)?, fallback: &font.name })
    }

    /// Its full name.
    pub(super) fn name(&self) -> String {
        let names = self.font.localized_strings(StringId::FULL_NAME);
        names.english_or_first().map_or_else(|| self.fallback.to_owned(), |name| name.chars().collect())
    }

    /// Sets a text so that its capitals are `height` mm high, from the origin to the right.
    pub(super) fn set(&self, text: &str, height: f64, spacing: f64) -> Result<Vec<Glyph>, LetterError> {
        let data = ShaperData::new(&self.font);
        let shaper = data.shaper(&self.font).build();
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(text);
        buffer.guess_segment_properties();
        let shaped = shaper.shape(buffer, harfrust::ShapeOptions::default());
        let scale = height / self.capitals(&shaped)?;
        let mut clusters: Vec<usize> =
            shaped.glyph_infos().iter().map(|info| info.cluster as usize).collect();
        clusters.sort_unstable();
        clusters.dedup();
        let letters = |cluster: usize| {
            let end = clusters.iter().copied().find(|other| *other > cluster).unwrap_or(text.len());
            text.get(cluster..end).unwrap_or_default().to_owned()
        };
        let mut glyphs = Vec::new();
        let (mut x, mut y) = (0.0, 0.0);
        let mut before = None;
        for (info, at) in shaped.glyph_infos().iter().zip(shaped.glyph_positions()) {
            let cluster = info.cluster as usize;
            if info.glyph_id == 0 {
                return Err(LetterError::MissingLetter { letter: letters(cluster), font: self.name() });
            }
            if before.is_some_and(|before| before != cluster) {
                x += spacing / scale;
            }
            before = Some(cluster);
            let path = self.outline(info.glyph_id)?;
            let place = Affine::translate((x + f64::from(at.x_offset), y + f64::from(at.y_offset)));
            if !path.elements().is_empty() {
                glyphs.push(Glyph { letters: letters(cluster), path: Affine::scale(scale) * place * path });
            }
            x += f64::from(at.x_advance);
            y += f64::from(at.y_advance);
        }
        if glyphs.is_empty() { Err(LetterError::NoLetters) } else { Ok(glyphs) }
    }

    /// How high capitals are in the font's units: an H from its foot to its head, or else the tallest glyph of the text.
    fn capitals(&self, shaped: &harfrust::GlyphBuffer) -> Result<f64, LetterError> {
        let tall = |glyph: u32| Ok(self.outline(glyph)?.bounding_box().y1);
        let head = self.font.charmap().map('H').map(|glyph| tall(glyph.to_u32())).transpose()?;
        let glyphs = shaped.glyph_infos().iter().map(|info| tall(info.glyph_id));
        let tallest = glyphs.collect::<Result<Vec<f64>, LetterError>>()?.into_iter().fold(0.0, f64::max);
        let height = head.filter(|height| *height > 0.0).unwrap_or(tallest);
        if height > 0.0 { Ok(height) } else { Err(LetterError::NoLetters) }
    }

    /// A glyph's outline in the font's units.
    fn outline(&self, glyph: u32) -> Result<BezPath, LetterError> {
        let mut pen = Pen(BezPath::new());
        if let Some(outline) = self.font.outline_glyphs().get(GlyphId::new(glyph)) {
            let settings = DrawSettings::unhinted(Size::unscaled(), LocationRef::default());
            outline
                .draw(settings, &mut pen)
                .map_err(|_| LetterError::BadFont { font: self.fallback.to_owned() })?;
        }
        Ok(pen.0)
    }
}

struct Pen(BezPath);

impl OutlinePen for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.move_to((f64::from(x), f64::from(y)));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.0.line_to((f64::from(x), f64::from(y)));
    }

    fn quad_to(&mut self, cx: f32, cy: f32, x: f32, y: f32) {
        self.0.quad_to((f64::from(cx), f64::from(cy)), (f64::from(x), f64::from(y)));
    }

    fn curve_to(&mut self, ax: f32, ay: f32, bx: f32, by: f32, x: f32, y: f32) {
        let point = |x, y| (f64::from(x), f64::from(y));
        self.0.curve_to(point(ax, ay), point(bx, by), point(x, y));
    }

    fn close(&mut self) {
        self.0.close_path();
    }
}
