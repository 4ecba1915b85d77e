"""The pages for people, one topic a module; each returns HTML and knows nothing of requests."""
