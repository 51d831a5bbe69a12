"""The cabling view: what is plugged into what, from the outside world down to end stations."""
