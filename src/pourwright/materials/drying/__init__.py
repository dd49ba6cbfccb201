"""Drying: the water in a mold, the air of the room, and the days it takes."""
