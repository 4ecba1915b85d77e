"""Jobs meant to hurt someone or to break a law, each beside a benign twin: what must be stopped, and what must not."""
