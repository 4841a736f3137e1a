"""What the found cases say: cautions first, then findings beside their limits, causes, outcome."""
