"""Tests of the room of shapes, and what they share."""
