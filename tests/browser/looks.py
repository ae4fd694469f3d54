"""What is measured on every page: axe, targets, sideways scroll. Used page by page and over all."""

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

WIDTHS = (320, 360, 390, 820, 1280)
THEMES = ("light", "dark")

# Targets under 44 px; exempt are links inside a sentence, and boxes whose label is the target.
_SMALL = """() => [...document.querySelectorAll(
  "a, button, select, textarea, summary, input:not([type=hidden])")].filter((part) => {
    const box = part.getBoundingClientRect();
    if (!box.width || !part.checkVisibility()) return false;
    if (part.closest(".unseen, .pick, .face") || part.matches(".skip")) return false;
    if (getComputedStyle(part).display === "inline" && part.matches("p a, li a")) return false;
    return box.width < 43.5 || box.height < 43.5;
  }).map((part) => part.outerHTML.slice(0, 120))"""
_WIDER = "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"


def violations(page: Page) -> list[str]:
    """What axe-core finds wrong, all its rules on, best practice included."""
    found = Axe().run(page).response["violations"]
    return [f"{rule['id']}: {node['target']}" for rule in found for node in rule["nodes"]]


def small_targets(page: Page) -> list[str]:
    """What a finger may miss."""
    found: list[str] = page.evaluate(_SMALL)
    return found


def sideways(page: Page) -> int:
    """By how many pixels the page is wider than its window."""
    wider: int = page.evaluate(_WIDER)
    return wider
