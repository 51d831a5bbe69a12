"""The drawing vocabulary and the three views."""
