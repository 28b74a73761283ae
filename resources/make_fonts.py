"""Make the two TrueType fonts from the unpacked npm package of IBM Plex Sans.

Usage: ``python resources/make_fonts.py FOLDER``, with FOLDER the unpacked ``package`` folder of
``@ibm/plex-sans`` (version 1.1.0 was used).  Only the container changes, WOFF to TTF: no glyph,
table or name is touched, so the family keeps its name under the SIL Open Font License.
Needs fontTools.
"""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

from fontTools.ttLib import TTFont

WEIGHTS = ("Regular", "SemiBold")
TARGET = Path(__file__).parent / "fonts"


def convert(package: Path, target: Path = TARGET) -> list[Path]:
    """Write the TTF of each weight and the licence into ``target``; return what was written."""
    target.mkdir(parents=True, exist_ok=True)
    written = []
    for weight in WEIGHTS:
        source = package / "fonts" / "complete" / "woff" / f"IBMPlexSans-{weight}.woff"
        font = TTFont(source, recalcTimestamp=False)
        font.flavor = None
        out = target / f"IBMPlexSans-{weight}.ttf"
        font.save(out)
        written.append(out)
    licence = target / "OFL.txt"
    shutil.copyfile(package / "LICENSE.txt", licence)
    return [*written, licence]


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: make_fonts.py FOLDER")
    for path in convert(Path(sys.argv[1])):
        print(path)
