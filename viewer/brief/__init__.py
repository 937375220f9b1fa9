"""The crew briefing: one card a pier, in one file that needs no network."""
