"""What the masking calculator is made of."""
