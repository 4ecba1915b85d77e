"""What the wash calculator is made of."""
