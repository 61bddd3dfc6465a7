"""The description of the API is true: whatever it allows is answered as it says, whatever it forbids is refused.

Schemathesis makes requests from the OpenAPI description, good and bad ones, and holds every answer against it: no
server error, no status or media type that is not described, no JSON of another form.
"""

from __future__ import annotations

from typing import Any

import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis import Case
from schemathesis.checks import not_a_server_error
from schemathesis.core.failures import FailureGroup
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)
from starlette.testclient import TestClient

from sonorarium.web.guard import TOKEN_HEADER
from tests.web.conftest import TOKEN

HEADERS = {"Host": "127.0.0.1:8000", "Accept": "application/json", TOKEN_HEADER: TOKEN}
EXAMPLES = 10
CHECKS = (
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
)


def test_answers_are_as_described(client: TestClient) -> None:
    schema = schemathesis.openapi.from_asgi("/openapi.json", client.app, headers=HEADERS)
    operations: list[Any] = [found.ok() for found in schema.get_all_operations()]  # type: ignore[union-attr]
    assert len(operations) > 20
    wrong: list[str] = []
    for operation in operations:

        @settings(
            max_examples=EXAMPLES,
            deadline=None,
            database=None,
            phases=[Phase.explicit, Phase.generate],
            suppress_health_check=list(HealthCheck),
        )
        @given(case=operation.as_strategy())
        def answered_as_described(case: Case[Any]) -> None:
            case.call_and_validate(checks=list(CHECKS), headers=HEADERS)

        try:
            answered_as_described()
        except FailureGroup as failures:
            wrong += [f"{operation.label}: {failures}"]
    assert not wrong, "\n\n".join(wrong)
