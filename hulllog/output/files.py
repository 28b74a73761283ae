"""Files as they leave: whole or not at all."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path


def put_whole(path: Path, data: bytes) -> None:
    """Write the file whole or not at all."""
    making = path.with_name(path.name + ".making")
    try:
        making.write_bytes(data)
        making.replace(path)
    finally:
        making.unlink(missing_ok=True)
