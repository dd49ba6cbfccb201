"""The kiln: cones, schedules, heat and energy."""
