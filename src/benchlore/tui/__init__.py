"""The full-screen program: shows what the lower layers find; no logic of its own."""
