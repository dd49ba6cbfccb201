"""Plaster: what a mix weighs, how it sets and warms, how long a mold lasts."""
