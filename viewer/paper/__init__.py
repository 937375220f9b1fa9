"""What sheets have in common: title block, holds, tables, running dimensions, plan views, tiles."""
