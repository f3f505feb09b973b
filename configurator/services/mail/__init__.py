"""Letters into the outbox, and out of it."""
