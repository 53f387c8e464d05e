"""The screen from offers to an order: what was read, prices side by side, and the packs to buy."""
