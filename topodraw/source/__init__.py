"""Text to plain values that know their place: YAML, includes, ranges, quantities."""
