"""The work document: operations with their times and where they are placed."""

from collections.abc import Mapping, Sequence
from typing import Any

from configurator.domain.timeline import PlacedSpan, Stay
from configurator.domain.work import Operation


def dump_work(operations: Sequence[Operation], stay: Stay | None, planned: Mapping[str, float]) -> dict[str, Any]:
    """The contract's work document; `planned` minutes by operation id at the typical quantile."""
    spans: dict[str, list[PlacedSpan]] = {}
    for span in stay.placed if stay else ():
        spans.setdefault(span.operation, []).append(span)
    return {"operations": [_operation(operation, spans.get(operation.id, []), planned[operation.id]) for operation in operations]}


def _operation(operation: Operation, spans: Sequence[PlacedSpan], planned: float) -> dict[str, Any]:
    return {
        "id": operation.id,
        "kind": str(operation.kind),
        "panel": operation.panel,
        "role": str(operation.role) if operation.role else None,
        "zone": str(operation.zone),
        "after": list(operation.after),
        "minutes": {
            "least": round(operation.least, 2),
            "usual": round(operation.usual, 2),
            "most": round(operation.most, 2),
            "planned": round(planned, 2),
        },
        "placed": [{"who": span.who, "start": span.start.isoformat(), "end": span.end.isoformat()} for span in spans],
    }
