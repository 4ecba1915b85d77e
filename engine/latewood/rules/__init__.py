"""Rules of the trade that calculators and the plan share: each stands here once."""
