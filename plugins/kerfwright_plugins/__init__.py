"""Everything that can be exchanged: strategies, drawings, checks, reports, tables."""
