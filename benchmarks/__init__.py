"""Speed, as ratios to a fixed workload timed in the same run. Never part of the tests."""
