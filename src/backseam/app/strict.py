"""The body of a request, read as strictly as a file: no key twice, no NaN, a bounded depth and size."""

from __future__ import annotations

from collections.abc import Callable, Coroutine
from typing import Any

from fastapi import Request, Response
from fastapi.routing import APIRoute

from backseam.app.refusing import Refusal, told
from backseam.ground.errors import InputRefused
from backseam.job.text import raw_of


class StrictRequest(Request):
    """A request whose JSON goes through the reader of job files."""

    async def json(self) -> Any:
        """The plain values of the body. Raises Refusal."""
        try:
            return raw_of(await self.body())
        except InputRefused as refused:
            status, body = told(refused)
            raise Refusal(status, {**body, "code": "not_read"}) from None


class StrictRoute(APIRoute):
    """A route that reads its body strictly."""

    def get_route_handler(self) -> Callable[[Request], Coroutine[Any, Any, Response]]:
        """The handler, given the strict request."""
        handle = super().get_route_handler()

        async def strictly(request: Request) -> Response:
            return await handle(StrictRequest(request.scope, request.receive))

        return strictly
