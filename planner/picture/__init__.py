"""Pictures of stones on their cloth, traced through the same cut, film and glass as every figure."""
