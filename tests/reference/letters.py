"""Areas of letters, to hold our lettering against.

    python3 tests/reference/letters.py           remake letters.json
    python3 tests/reference/letters.py --check   compare with it

fontTools reads the carried font and takes each glyph's area by Green's theorem along its quadratic curves, exactly. No letter
of these texts overlaps its neighbour or itself.
"""

from pathlib import Path

from fontTools.pens.areaPen import AreaPen
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from store import rounded, store

FONT = Path(__file__).resolve().parents[2] / "src" / "letter" / "font" / "sans-bold.ttf"

# Height of capitals, mm.
HEIGHT = 100.0

TEXTS = ["408", "Oak & Ash", "BÉ8@", "Rög 69", "ijfQ?", "“№ 17”"]


def main():
    font = TTFont(FONT)
    glyphs, names = font.getGlyphSet(), font.getBestCmap()
    bounds = BoundsPen(glyphs)
    glyphs[names[ord("H")]].draw(bounds)
    scale = HEIGHT / bounds.bounds[3]
    found = {}
    for text in TEXTS:
        area = 0.0
        for letter in text:
            pen = AreaPen(glyphs)
            glyphs[names[ord(letter)]].draw(pen)
            area += abs(pen.value) * scale * scale
        found[text] = {"area_mm2": area}
    store(__file__, f"Areas of texts with capitals {HEIGHT:g} mm high, by fontTools.", ["fonttools"], {"texts": rounded(found)}, depth=2)


if __name__ == "__main__":
    main()
