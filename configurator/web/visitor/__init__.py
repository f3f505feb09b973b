"""The visitor's pages: seven steps whose whole state is the query, sending, and what a shop's own page needs."""
