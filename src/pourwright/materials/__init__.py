"""One published law a function: plaster, drying, slip, casting, shrinkage, firing, glaze."""
