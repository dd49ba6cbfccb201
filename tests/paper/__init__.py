"""Tests of what is printed, and what they share."""
