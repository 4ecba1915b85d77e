"""What the area calculator is made of."""
