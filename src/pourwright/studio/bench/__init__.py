"""The bench: batches of plaster, slip in the molds, and their clocks."""
