"""Makes the font that is carried: the letters of western European signs from DejaVu Sans Bold.

    pip install fonttools==4.68.0 matplotlib==3.11.2    (matplotlib carries DejaVu 2.37 and its licence)
    python3 src/letter/font/make.py           remake it
    python3 src/letter/font/make.py --check   compare with it
"""

import io
import sys
from pathlib import Path

import matplotlib
from fontTools import subset
from fontTools.ttLib import TTFont

HERE = Path(__file__).resolve().parent
FONTS = Path(matplotlib.get_data_path()) / "fonts" / "ttf"

LETTERS = [*range(0x20, 0x7F), *range(0xA0, 0x180), *map(ord, "‘’“”„–—•…€№")]


def made():
    font = TTFont(FONTS / "DejaVuSans-Bold.ttf", recalcTimestamp=False)
    options = subset.Options(hinting=False, drop_tables=["FFTM"], layout_features=["kern", "liga", "mark", "ccmp"], name_IDs=[0, 1, 2, 3, 4, 5, 6, 13])
    work = subset.Subsetter(options)
    work.populate(unicodes=LETTERS)
    work.subset(font)
    out = io.BytesIO()
    font.save(out)
    return out.getvalue()


def main():
    files = {"sans-bold.ttf": made(), "LICENSE": (FONTS / "LICENSE_DEJAVU").read_bytes()}
    for name, content in files.items():
        if "--check" not in sys.argv[1:]:
            (HERE / name).write_bytes(content)
        elif (HERE / name).read_bytes() != content:
            sys.exit(f"{name} is not what this script makes")
        print(name, len(content))


if __name__ == "__main__":
    main()
