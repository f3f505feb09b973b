"""Photos: judged, kept, shown."""
