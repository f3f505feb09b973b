"""Film plans for people and plotters."""
