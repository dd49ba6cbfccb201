"""The plan of an edition: what a maker decides on, worked out from a brief, a studio and the book."""
