"""What the cure-windows calculator is made of."""
