"""What the condition calculator is made of."""
