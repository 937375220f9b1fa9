"""The cage of a pier: its plan, its levels, its ties and dowels."""
