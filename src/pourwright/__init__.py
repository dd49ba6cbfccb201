"""Pourwright: from a brief to the plan of a numbered edition of slip-cast ware."""
