"""Operations beyond the core."""
