"""Print the README's commands for a Unix shell, one a line, so that CI runs what people read."""

from __future__ import annotations

import re
from pathlib import Path


def commands(readme: str) -> list[str]:
    """The first line of each `sh` block, in order."""
    return [block.strip().splitlines()[0] for block in re.findall(r"```sh\n(.*?)```", readme, re.DOTALL)]


if __name__ == "__main__":
    text = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")
    print("\n".join(commands(text)[:2]))
