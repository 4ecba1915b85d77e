"""Parts of the wipe-cadence calculator."""
