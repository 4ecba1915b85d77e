"""What the preparation calculator is made of."""
