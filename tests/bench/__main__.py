"""`make bench`: runs every `bench_*` in this folder, prints their figures and writes bench.json."""

import importlib
import json
import sys
from pathlib import Path

HERE = Path(__file__).parent


def main() -> int:
    figures: dict[str, float] = {}
    for file in sorted(HERE.glob("*.py")):
        if file.stem.startswith("_") or file.stem == "timing":
            continue
        module = importlib.import_module(f"tests.bench.{file.stem}")
        for name in sorted(name for name in vars(module) if name.startswith("bench_")):
            print(f"{file.stem}.{name} ...", file=sys.stderr, flush=True)
            figures |= getattr(module, name)()
    for name, value in figures.items():
        print(f"{value:10.2f}  {name}")
    (HERE.parents[1] / "bench.json").write_text(json.dumps(figures, indent=2) + "\n", encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
