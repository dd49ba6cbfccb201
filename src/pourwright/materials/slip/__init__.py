"""Slip: what a liter holds, and what goes in to change it."""
