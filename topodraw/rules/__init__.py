"""What a senior engineer would object to, one file a family."""
