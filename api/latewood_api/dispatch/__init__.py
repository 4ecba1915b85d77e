"""Where a calculation runs: where the request is read if that is certain to be short, in a killable process if not."""
