"""Tables of published facts, one file a standard; every row names its source."""
