"""What the moisture-readiness calculator is made of."""
