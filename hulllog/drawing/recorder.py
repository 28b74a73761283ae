"""A scene written as text, one item a line: what golden tests compare.

Numbers have at most two decimals (0.01 mm), so the text does not hang on the last bits of a float.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.drawing.scene import Image, Text

if TYPE_CHECKING:
    from hulllog.drawing.scene import Item, Path, Scene, Style


def record(scene: Scene) -> str:
    """Write a scene as text that is the same wherever it is made."""
    lines = [f"scene {_number(scene.width)} x {_number(scene.height)}"]
    lines += [f"described {line}" for line in scene.described.splitlines()]
    lines += [f"region {key} = {said}" for key, said in scene.regions]
    lines += [_item(item) for item in scene.items]
    return "\n".join(lines) + "\n"


def _number(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _key(key: str) -> str:
    return f" <{key}>" if key else ""


def _item(item: Item) -> str:
    if isinstance(item, Text):
        return _text(item)
    return _image(item) if isinstance(item, Image) else _path(item)


def _image(image: Image) -> str:
    at = f"{_number(image.x)},{_number(image.y)}"
    size = f"{_number(image.width)} x {_number(image.height)}"
    return f"image {at} {size}{_key(image.key)} {image.name!r}"


def _text(text: Text) -> str:
    weight = " bold" if text.bold else ""
    at = f"{_number(text.x)},{_number(text.y)} {text.anchor} {_number(text.size)}"
    return f"text {at} {text.color}{weight}{_key(text.key)} {text.text!r}"


def _path(path: Path) -> str:
    ops = " ".join(op[0] + ",".join(_number(n) for n in op[1:]) for op in path.ops)
    return f"path {_style(path.style)}{_key(path.key)} {ops}".rstrip()


def _style(style: Style) -> str:
    said = [f"fill={style.fill}"] if style.fill else []
    if style.stroke:
        said.append(f"stroke={style.stroke}/{_number(style.width)}")
        if style.dash:
            said.append("dash=" + ",".join(_number(n) for n in style.dash))
    if style.opacity < 1:
        said.append(f"opacity={_number(style.opacity)}")
    return " ".join(said) or "unseen"
