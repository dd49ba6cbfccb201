"""Charts: odd data, colors in gray, the same bytes."""
