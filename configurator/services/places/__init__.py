"""Places in the bay: found, held, moved, blocked, and told to calendars."""
