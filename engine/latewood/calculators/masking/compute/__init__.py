"""What masking computes: the ground beside the work, and lengths, areas and hours."""
