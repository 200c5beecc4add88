"""What no page may do: ask another host, raise an error, break the content policy, answer with a fault."""

from playwright.sync_api import ConsoleMessage, Page, Request, Response

POLICY = """
document.addEventListener("securitypolicyviolation", (event) =>
  console.error(`policy: ${event.violatedDirective} stopped ${event.blockedURI}`));
"""
# The browser notes on its console that a form was refused or nothing was found; the test itself looks at the page.
ALLOWED = ("status of 422", "status of 404")


class Watch:
    """Collects every fault of one browser window."""

    def __init__(self, page: Page, site: str) -> None:
        self.site, self.faults = site, list[str]()
        page.add_init_script(POLICY)
        page.on("request", self._asked)
        page.on("response", self._answered)
        page.on("console", self._said)
        page.on("pageerror", lambda error: self.faults.append(f"script error: {error}"))

    def _asked(self, request: Request) -> None:
        if not request.url.startswith((f"{self.site}/", "data:", "blob:")):
            self.faults.append(f"asked another host: {request.url}")

    def _answered(self, response: Response) -> None:
        lacking = response.status == 404 and response.request.resource_type != "document"
        if lacking or response.status >= 500:
            self.faults.append(f"{response.url} answered {response.status}")

    def _said(self, message: ConsoleMessage) -> None:
        if message.type in ("error", "warning") and not any(part in message.text for part in ALLOWED):
            self.faults.append(f"console: {message.text}")
