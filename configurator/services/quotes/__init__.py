"""Scopes changed by the desk, firm quotes, and what customers say to them."""
