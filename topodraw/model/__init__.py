"""What a site is: small typed values with their references resolved."""
