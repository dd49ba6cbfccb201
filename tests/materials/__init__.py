"""Tests of the workshop's laws."""
