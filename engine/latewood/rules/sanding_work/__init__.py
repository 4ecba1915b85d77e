"""One estimate of sanding for all who ask: face, condition, practice, machine → depth, grades, passes, hours, discs."""
