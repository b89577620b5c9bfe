"""Requests made from the published description of the API: no fault of ours, and every refusal a sentence.

A few for each route here; many more with BACKSEAM_SOAK set.
"""

from __future__ import annotations

import os

import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from tests.app.conftest import HERE

from backseam.app.server import create

EACH = 200 if os.environ.get("BACKSEAM_SOAK") else 3
QUIET = settings(
    max_examples=EACH,
    deadline=None,
    derandomize=True,
    database=None,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=list(HealthCheck),
)


def sent(client, case):
    """One generated request, as a page of ours would send it."""
    if case.path == "/api/import":  # the generator's files are not those of this client
        body = repr(case.body).encode("utf-8", "replace")
        return client.post("/api/import", files=[("files", (body[:60].decode("ascii", "replace"), body))])
    given = case.as_transport_kwargs(base_url=HERE)
    kind = {k: v for k, v in given.get("headers", {}).items() if k.casefold() == "content-type"}
    wanted = {
        name: given[name]
        for name in ("method", "url", "json", "data", "content", "files", "params")
        if name in given
    }
    return client.request(**wanted, headers=kind)


def good(case, answer):
    """No fault, and a sentence where it was refused."""
    name = (case.method, case.path, answer.text[:300])
    assert answer.status_code < 500 or answer.status_code in (501, 503), name
    if answer.status_code >= 400:
        body = answer.json()
        assert body["code"], name
        assert body["text"].strip()[-1] in ".?", name
        assert "\n" not in body["text"], name


def test_no_request_is_a_fault_and_every_refusal_is_a_sentence(client, app):
    described = schemathesis.openapi.from_dict(app.openapi())
    operations = [found.ok() for found in described.get_all_operations()]
    assert len(operations) > 45
    seen = set()

    def each(case):
        answer = sent(client, case)
        seen.add(answer.status_code)
        good(case, answer)

    for operation in operations:
        QUIET(given(case=operation.as_strategy())(each))()
    assert {200, 404, 422} <= seen


def test_the_description_is_one(app, tmp_path):
    """A second app describes itself alike."""
    made = create(tmp_path / "b.sqlite", port=8123, workers=0)
    assert made.openapi() == app.openapi()
