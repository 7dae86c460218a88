"""Orders over time for one part: what to order from whom and when, at least present cost."""
