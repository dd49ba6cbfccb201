"""Kinds of entries: what a command may say, and what it is called after."""
