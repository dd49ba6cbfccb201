"""A contact sheet: many pictures in one, in columns, each under its name."""

from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

COLUMNS = 12
GAP_PX = 12
LABEL_PX = 18
TALLEST = 3.2  # times its width; what is longer is cut, its whole picture lies in the folder
GROUND, INK = (110, 110, 110), (255, 255, 255)


def lay_out(images: list[Path], sheet: Path, width_px: int = 300) -> None:
    """Lay pictures out, each on top of the shortest column; what was not taken is left out."""
    heights = [GAP_PX] * COLUMNS
    placed = []
    for path in images:
        if path.exists():
            with Image.open(path) as whole:
                high = min(whole.height, int(TALLEST * whole.width))
                shown = whole.convert("RGB").crop((0, 0, whole.width, high))
                shown = shown.resize((width_px, max(round(high * width_px / whole.width), 1)))
            column = heights.index(min(heights))
            left = GAP_PX + column * (width_px + GAP_PX)
            placed.append((shown, path.stem, left, heights[column]))
            heights[column] += LABEL_PX + shown.height + GAP_PX
    drawn = Image.new("RGB", (GAP_PX + COLUMNS * (width_px + GAP_PX), max(heights)), GROUND)
    pen, font = ImageDraw.Draw(drawn), ImageFont.load_default(13)
    for shown, name, left, top in placed:
        pen.text((left, top), name, fill=INK, font=font)
        drawn.paste(shown, (left, top + LABEL_PX))
    drawn.save(sheet)
