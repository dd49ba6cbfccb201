"""A client that is where a test says it is, and keeps no cookie that the test did not give it."""

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any, TypeVar

import httpx
from starlette.types import ASGIApp

HERE = "http://localhost"
LAN = "http://studio.lan"
THIS_COMPUTER = ("127.0.0.1", 50000)
PHONE = ("192.0.2.17", 50000)
_T = TypeVar("_T")


def run(work: Coroutine[Any, Any, _T]) -> _T:
    """Return what a coroutine returns, from a thread of its own.

    In a whole test run the browser's driver keeps a loop running in the main thread.
    """
    with ThreadPoolExecutor(1) as threads:
        return threads.submit(asyncio.run, work).result()


class Browser:
    """Asks an application; each request is a client's first, so that none passes by a cookie
    that an earlier one was given.
    """

    def __init__(
        self,
        app: ASGIApp,
        where: str,
        address: tuple[str, int],
        headers: dict[str, str] | None = None,
        cookies: dict[str, str] | None = None,
    ) -> None:
        self.app, self.where, self.address = app, where, address
        self.headers, self.cookies = headers or {}, cookies or {}

    def request(self, method: str, path: str, **more: Any) -> httpx.Response:
        """Return what is answered."""
        return run(self._request(method, path, more))

    def get(self, path: str, **more: Any) -> httpx.Response:
        """Return what a page answers."""
        return self.request("GET", path, **more)

    def post(self, path: str, data: dict[str, Any] | None = None, **more: Any) -> httpx.Response:
        """Return what a form is answered."""
        return self.request("POST", path, data=data, **more)

    async def _request(self, method: str, path: str, more: dict[str, Any]) -> httpx.Response:
        transport = httpx.ASGITransport(self.app, raise_app_exceptions=False, client=self.address)
        headers = self.headers | more.pop("headers", {})
        async with httpx.AsyncClient(
            transport=transport, base_url=self.where, headers=headers, cookies=self.cookies
        ) as client:
            return await client.request(method, path, **more)
