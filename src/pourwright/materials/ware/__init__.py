"""Ware: how it shrinks, what fired clay holds, and the glaze on it."""
