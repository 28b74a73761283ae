"""Photographs: taken in by drop, file or folder, shown in a strip, pinned on the drawing."""
