"""What the fasteners calculator is made of."""
