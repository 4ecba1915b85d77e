"""What the coverage calculator is made of."""
