"""What the abrasive-sequence calculator is made of."""
