"""A model's shape: read, healed, measured; what its wall, its pull and its mold come to."""
