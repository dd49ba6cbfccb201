"""Casting: how long slip stands for a wall, and what a cast takes and gives."""
